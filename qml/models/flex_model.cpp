#include "flex_model.h"
#include "rows_of.h"
#include "words.h"

#include <algorithm>
#include <cmath>

namespace chockside::models {

namespace {

const QChar unbroken(0x00A0);

bool has_hands(const job::PlaceView& place) { return place.kind != "unit" && place.kind != "sensor"; }

QString one_in(double p)
{
    if (p >= 0.5) return FlexModel::tr("no rarer than chance");
    const double times = 1 / std::max(p, 1e-6);
    return FlexModel::tr("1 in %1").arg(times < 1000 ? QString::number(std::lround(times)) : FlexModel::tr("more than 1000"));
}

} // namespace

FlexModel::FlexModel(QObject* parent) : QObject(parent), places_({"id", "label_text", "count", "word", "moving"}, "id") {}

void FlexModel::set_places(const std::vector<job::PlaceView>& places)
{
    std::vector<job::PlaceView> line;
    std::copy_if(places.begin(), places.end(), std::back_inserter(line), has_hands);
    const auto same = [](const job::PlaceView& a, const job::PlaceView& b) { return a.id == b.id; };
    if (std::equal(line.begin(), line.end(), line_.begin(), line_.end(), same)) return;
    line_ = std::move(line);
    show();
}

void FlexModel::set_seen(const FlexSeen& seen)
{
    const auto same = [](const FlexSeen::Place& a, const FlexSeen::Place& b) { return a.place == b.place && a.hits == b.hits && std::lround(a.seconds) == std::lround(b.seconds); };
    if (seen.running == seen_.running && seen.moved == seen_.moved && std::equal(seen.places.begin(), seen.places.end(), seen_.places.begin(), seen_.places.end(), same)) return;
    seen_ = seen;
    show();
}

void FlexModel::show()
{
    places_.set_rows(rows_of(line_, [this](const job::PlaceView& place) {
        const auto at = std::find_if(seen_.places.begin(), seen_.places.end(), [&](const auto& p) { return p.place == place.id; });
        const bool moving = seen_.running && seen_.moved == place.id;
        const QString count = at == seen_.places.end() || seen_.hits == 0 ? QString() : tr("%1 of %2").arg(at->hits).arg(seen_.hits);
        const QString spent = at == seen_.places.end() ? tr("tap") : QString::number(std::lround(at->seconds)) + unbroken + 's';
        return QVariantMap{{"id", words(place.id)}, {"label_text", words(place.label)}, {"count", count}, {"word", moving ? tr("moving") : spent}, {"moving", moving}};
    }));
    emit changed();
}

QString FlexModel::moved() const { return label_of(seen_.moved); }

QString FlexModel::label_of(const std::string& place) const
{
    const auto at = std::find_if(line_.begin(), line_.end(), [&](const auto& p) { return p.id == place; });
    return at == line_.end() ? QString() : words(at->label);
}

/// The moved place that chance explains worst.
const FlexSeen::Place* FlexModel::most() const
{
    const FlexSeen::Place* worst = nullptr;
    for (const auto& p : seen_.places)
        if (!p.place.empty() && p.hits > 0 && (!worst || p.p < worst->p)) worst = &p;
    return worst;
}

QString FlexModel::sentence() const
{
    if (!seen_.running) return {};
    if (seen_.hits == 0) return tr("No drop-out yet. Move each place in turn.");
    const QString all = seen_.hits == 1 ? tr("One drop-out.") : tr("%1 drop-outs.").arg(counted(seen_.hits));
    const auto* at = most();
    if (!at) return all + ' ' + tr("None while a place was moved.");
    return all + ' ' + tr("%1 came while %2 was moved.").arg(counted(at->hits), label_of(at->place));
}

QString FlexModel::chance() const
{
    const auto* at = most();
    if (!seen_.running || !at || seen_.seconds <= 0) return {};
    const double expected = seen_.hits * at->seconds / seen_.seconds;
    return tr("By chance about %1 of %2 would fall there. %3 or more: %4.").arg(QString::number(expected, 'f', expected < 3 ? 1 : 0)).arg(seen_.hits).arg(counted(at->hits), one_in(at->p));
}

QString FlexModel::ends() const
{
    if (line_.empty()) return {};
    const QString from = words(line_.front().where), to = words(line_.back().where);
    return from == to ? from : tr("%1 to %2").arg(from, to);
}

void FlexModel::mark(const QString& place)
{
    if (!seen_.running) return;
    emit mark_asked(place.toStdString() == seen_.moved ? QString() : place);
}

void FlexModel::mark_off()
{
    if (seen_.running && !seen_.moved.empty()) emit mark_asked({});
}

} // namespace chockside::models
