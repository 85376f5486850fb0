#pragma once

#include <core/base/disk.h>
#include <core/record/report.h>

#include <string>

namespace chockside::report {

enum class Paper { a4, letter };

/// Writes the report as PDF/A-1b. Every page carries job, head digest and "page x of y"; a practice job carries DEMO, opaque, on each.
/// The file is written whole or stays what it was. Codes: no_memory, those of Disk::write_whole(). Needs a QGuiApplication (fonts).
Status write_pdf(const record::Report&, Paper, Disk&, const std::string& path);

} // namespace chockside::report
