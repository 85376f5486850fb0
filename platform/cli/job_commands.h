#pragma once

#include <iosfwd>
#include <string>

namespace chockside::cli {

struct JobOptions {
    std::string folder = {}; ///< of the store; empty: the device's data folder
    std::string job = {};    ///< id; for verify empty means the whole store
    std::string file = {};   ///< export: where to (empty: standard output); import and verify: an export to read
    std::string to = {};     ///< backup, salvage: the other folder
    std::string person = {}; ///< whose PIN opens a locked store; asked for at the terminal, or a line of standard input
    std::string search = {}; ///< list: words in tail or title
    bool json = false;
};

// The journals on this device. Exit: 0 done, 1 the answer is no (a record that does not verify, a refused import, no such job),
// 2 usage, 3 input or device error. Errors are one object {code, place, message, mend} where json is set. A running app keeps its
// lock: list, show, verify and export only read.

/// `jobs` [{job, title, tail, status, opened, changed, entries, practice}], newest first.
int job_list(const JobOptions&, std::ostream& out, std::ostream& error);
/// `entries` [{author, seq, time, kind, person, meaning, body, hash}] in causal order; body null where it is withheld.
int job_show(const JobOptions&, std::ostream& out, std::ostream& error);
/// `entries`, `withheld`, `ok`, `first_bad` {author, seq, reason}.
int job_verify(const JobOptions&, std::ostream& out, std::ostream& error);
/// The job as JSON lines.
int job_export(const JobOptions&, std::ostream& out, std::ostream& error);
/// `added`, `already`.
int job_import(const JobOptions&, std::ostream& out, std::ostream& error);
/// A proved copy of the store in `to`: `entries`, `withheld`, `ok`. The app may go on meanwhile.
int job_backup(const JobOptions&, std::ostream& out, std::ostream& error);
/// What verifies of a damaged store, in a new one in `to`: `kept`, `last` {author: seq}, `broken` [{author, seq, reason}], `lost` [attachments/SHA or
/// captures/JOB/NAME: stayed behind].
int job_salvage(const JobOptions&, std::ostream& out, std::ostream& error);

} // namespace chockside::cli
