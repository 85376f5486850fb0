#include "entry_fix.h"
#include "words.h"

#include <core/job/strike.h>
#include <platform/words/words.h>

#include <algorithm>
#include <utility>

namespace chockside::models {

void EntryFix::set_view(const job::JobView& view)
{
    entries_ = view.entries;
    const auto found = std::find_if(view.journal.begin(), view.journal.end(), [&](const auto& e) { return e.hash == line_.hash; });
    if (found != view.journal.end()) line_ = *found;
    emit changed();
}

void EntryFix::open(const QString& hash)
{
    line_ = {};
    line_.hash = hash.toStdString();
    done();
}

void EntryFix::done()
{
    should_.clear();
    reason_.clear();
    pin_.clear();
    emit changed();
}

QString EntryFix::at() const { return clock_hms(line_.utc_ms); }
QString EntryFix::text() const { return prose(line_.text); }
QString EntryFix::by() const { return prose(line_.by); }
QString EntryFix::field() const { return words(line_.field); }

QString EntryFix::stands() const
{
    return line_.stands.empty() ? QString() : words(chockside::words::line({line_.stands, {}, {{"who", line_.stands_who}}}));
}

bool EntryFix::amends() const
{
    return !line_.field.empty() && !should_.trimmed().isEmpty();
}

QString EntryFix::missing() const
{
    if (reason_.trimmed().isEmpty()) return tr("the reason");
    return signature() && pin_.isEmpty() ? tr("your PIN") : QString();
}

QString EntryFix::key_small() const
{
    if (!stands().isEmpty()) return tr("Waits: it stands");
    return missing().isEmpty() ? tr("Hold 1 s, writes entry %1").arg(entries_ + 1) : tr("Waits: %1").arg(missing());
}

QString EntryFix::key_large() const
{
    return signature() ? tr("Withdraw the signature") : amends() ? tr("Amend the entry") : tr("Void the entry");
}

void EntryFix::fill(const QString& what, const QString& words)
{
    QString& kept = what == "should" ? should_ : what == "pin" ? pin_ : reason_;
    if (kept == words) return;
    kept = words;
    emit changed();
}

void EntryFix::press()
{
    if (!ready()) return;
    job::Command command;
    command.kind = amends() ? "amend" : "void";
    command.args = json::Object{{"of", line_.hash}, {"reason", reason_.trimmed().toStdString()}};
    if (amends()) command.args.at("body") = json::Object{{line_.field, should_.trimmed().toStdString()}};
    if (signature()) {
        command.person = line_.person;
        command.args.at("meaning") = job::withdrawn;
        command.args.at("words") = "Signature withdrawn";
        command.pin = std::exchange(pin_, {}).toStdString();
    }
    emit asked(command);
    emit changed();
}

} // namespace chockside::models
