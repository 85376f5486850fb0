#pragma once
// A folder that goes away, a clock that stands, and drafts as a job writes them.

#include <core/journal/store.h>
#include <platform/system/system.h>

#include <QDirIterator>
#include <QFile>
#include <QTemporaryDir>

namespace chockside::tests {

class StandingClock final : public Clock {
public:
    Now now() const override { return {utc_ms, 1000, "boot-1"}; }
    std::int64_t utc_ms = 1781706460000; ///< 2026-06-17T14:27:40Z
};

struct Place {
    QTemporaryDir dir;
    system::SystemDisk disk;
    StandingClock clock;
    SeededRandom random{1};

    std::string folder() const { return dir.path().toStdString() + "/store"; }
    std::string file(const char* name) const { return folder() + "/" + name; }
    Result<std::unique_ptr<journal::Store>> open(bool read_only = false) { return journal::Store::open(disk, clock, random, {folder(), read_only, 0}); }
    std::unique_ptr<journal::Store> store()
    {
        auto opened = open();
        return opened ? std::move(*opened) : nullptr;
    }
};

inline journal::Draft draft(const std::string& kind, const std::string& text)
{
    journal::Draft d;
    d.kind = kind;
    d.body = json::Value(json::Object{{"text", text}, {"degrees", "-1.25"}, {"count", 3}});
    d.person = "p-1";
    return d;
}

inline Result<std::vector<journal::Entry>> put(journal::Store& store, const std::string& job, const std::string& command, const std::string& text = "compass card sticks")
{
    const journal::Draft d = draft("found", text);
    return store.append(job, command, std::span(&d, 1));
}

/// How many files of the folder hold these bytes anywhere.
inline int lies_in(const Place& place, const QByteArray& bytes)
{
    int files = 0;
    for (QDirIterator at(QString::fromStdString(place.folder()), QDir::Files, QDirIterator::Subdirectories); at.hasNext(); ) {
        QFile file(at.next());
        if (file.open(QIODevice::ReadOnly) && file.readAll().contains(bytes)) ++files;
    }
    return files;
}

} // namespace chockside::tests
