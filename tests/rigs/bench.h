#pragma once
// The store's fault bench: one small job, the history of what its writer was told, and one judge. Every rig harms this job in its own way.

#include <core/journal/store.h>

#include <functional>
#include <map>
#include <set>
#include <string>
#include <vector>

namespace chockside::rigs {

/// A clock that stands unless it is moved.
class HeldClock final : public Clock {
public:
    Now now() const override { return {utc_ms, mono_ms, "boot-1"}; }
    std::int64_t utc_ms = 1781706460000, mono_ms = 1000;
};

/// What a job writes; the same for the same name.
struct Job {
    std::string name = "job";
    int commands = 30;
};

struct Command {
    int n = 0;
    std::string job, id;
    std::vector<journal::Draft> drafts; ///< one to three
    std::optional<journal::JobRow> row;
    Bytes attachment; ///< put before the entries that name it; may be empty
};
Command command_of(const Job&, int n);
/// The two jobs of the journal that its commands go to in turns.
std::vector<std::string> journal_jobs(const Job&);

/// What a writer was told of one job. A command that was tried and not answered is unknown: it may be there, whole, or not at all.
struct History {
    std::set<int> tried;
    std::map<int, std::vector<std::string>> saved; ///< command -> hashes of its entries
    std::map<int, std::string> refused;            ///< command -> code
    std::set<int> attached;                        ///< commands whose attachment was acknowledged
    int row_saved = 0;                             ///< the last row written by itself and acknowledged
    bool opened = false, closed = false;
};

/// One thing the writer did or was told, as a line of text that fits into one write to a pipe.
struct Event {
    enum Kind : char { opened = 'o', tried = 't', saved = 's', refused = 'r', attached = 'a', row_saved = 'w', closed = 'c' };
    Kind kind;
    std::string job;
    int n = 0;
    std::vector<std::string> what;
};
std::string line_of(const Event&);
/// All whole lines of a pipe's text.
std::map<std::string, History> histories_of(std::string_view lines);
void note(History&, const Event&);

using Tell = std::function<void(const Event&)>;
using Open = std::function<Result<std::unique_ptr<journal::Store>>()>;

/// Opens, writes the job, closes. What is refused is told and left; the next command is tried all the same.
void run_job(const Open&, const Job&, const Tell&);
/// The same on an open store.
void write_job(journal::Store&, const Job&, const Tell&);

struct Verdict {
    int lost = 0;        ///< acknowledged and not there, entry or attachment
    int doubled = 0;     ///< there twice
    int changed = 0;     ///< there under another hash
    int torn = 0;        ///< a part of a command's entries
    int invented = 0;    ///< never tried
    int row = 0;         ///< the job's row does not stand where its entries stand
    int unverified = 0;  ///< verify() or the file's structure says no
    int unusable = 0;    ///< the store does not open, read or write
    std::string first;   ///< what was seen first, in words

    bool good() const { return lost + doubled + changed + torn + invented + row + unverified + unusable == 0; }
    void add(const Verdict&);
    void count(int Verdict::*, const std::string& what);
};
/// "lost":0,... for a JSON line.
std::string json_members(const Verdict&);

struct Look {
    bool verify = true; ///< also every digest and signature, and the file's structure
    bool retry = true;  ///< commands without an answer are tried again under the same id
};
Verdict judge(journal::Store&, const Job&, const History&, Look = {});
/// Opens first.
Verdict judge(const Open&, const Job&, const History&, Look = {});

/// A folder of its own for this process, in memory where the system has /dev/shm. It goes with the object.
class WorkFolder {
public:
    explicit WorkFolder(const std::string& name, bool on_disk = false);
    ~WorkFolder();
    WorkFolder(const WorkFolder&) = delete;
    WorkFolder& operator=(const WorkFolder&) = delete;
    const std::string& path() const { return path_; }
    void clear() const;

private:
    std::string path_;
};

/// --name value and --flag of a command line; an unknown name ends the program with 2.
class Arguments {
public:
    Arguments(int argc, char** argv, const std::set<std::string>& known);
    bool has(const std::string& name) const { return values_.contains(name); }
    long number(const std::string& name, long otherwise) const;
    std::string text(const std::string& name) const;

private:
    std::map<std::string, std::string> values_;
};
bool long_run();
double seconds_since_start();
/// Of this process and its children: what a rig costs on a machine that others use too.
double cpu_seconds();

} // namespace chockside::rigs
