#pragma once

#include <core/base/result.h>
#include <core/record/report.h>

#include <string>

namespace chockside::report {

enum class Paper { a4, letter };

/// Writes the report as PDF/A-1b. Every page carries job, head digest and "page x of y"; a practice job carries DEMO, opaque, on each.
/// Codes: io_error. Needs a QGuiApplication (fonts).
Status write_pdf(const record::Report&, Paper, const std::string& path);

} // namespace chockside::report
