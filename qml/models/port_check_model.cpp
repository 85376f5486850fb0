#include "port_check_model.h"

#include "rows_of.h"
#include "words.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace chockside::models {

namespace {

QString title_of(const std::string& id)
{
    const std::array titles{std::pair{"port", PortCheckModel::tr("The port is there")}, std::pair{"rights", PortCheckModel::tr("You may use it")}, std::pair{"free", PortCheckModel::tr("Nobody else holds it")},
        std::pair{"open", PortCheckModel::tr("It opens")}, std::pair{"bytes", PortCheckModel::tr("Bytes come")}, std::pair{"echo", PortCheckModel::tr("They are not our own")}, std::pair{"rate", PortCheckModel::tr("The rate fits")},
        std::pair{"frames", PortCheckModel::tr("Whole frames come")}, std::pair{"reply", PortCheckModel::tr("The unit answers")}, std::pair{"unit", PortCheckModel::tr("It is the right unit")}};
    const auto at = std::ranges::find(titles, id, [](const auto& t) { return std::string(t.first); });
    return at == titles.end() ? words(id) : at->second;
}

} // namespace

PortCheckModel::PortCheckModel(QObject* parent) : QObject(parent), steps_({"id", "mark", "label_text"}, "id") {}

void PortCheckModel::set(const PortSeen& seen)
{
    seen_ = seen;
    busy_ = false;
    steps_.set_rows(rows_of(seen_.steps, [](const PortStepSeen& s) {
        return QVariantMap{{"id", words(s.id)}, {"mark", mark_name(s.mark)}, {"label_text", title_of(s.id)}};
    }));
    emit changed();
}

void PortCheckModel::forget()
{
    set({});
}

const PortStepSeen* PortCheckModel::gap() const
{
    const auto at = std::ranges::find(seen_.steps, job::Mark::attention, &PortStepSeen::mark);
    return at == seen_.steps.end() ? nullptr : &*at;
}

QString PortCheckModel::sentence() const
{
    if (busy_) return tr("The port is looked at: some seconds.");
    if (!done()) return {};
    if (const auto* g = gap()) return g->message;
    return seen_.part.isEmpty() ? tr("Whole frames come on this port.") : tr("The unit answers: %1.").arg(seen_.part);
}

QString PortCheckModel::heard() const
{
    return done() ? tr("%1: %2 bytes, %3 whole frames").arg(seen_.port).arg(seen_.bytes).arg(seen_.frames) : QString();
}

QString PortCheckModel::mend() const
{
    return gap() ? gap()->mend : QString();
}

QString PortCheckModel::minutes() const
{
    return gap() ? tr("%1 min").arg(std::lround(gap()->minutes)) : QString();
}

void PortCheckModel::check()
{
    if (busy_) return;
    forget();
    busy_ = true;
    emit changed();
    emit check_asked();
}

} // namespace chockside::models
