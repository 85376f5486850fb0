#include "home_jobs.h"
#include "job_rows.h"
#include "words.h"

#include <algorithm>
#include <array>

namespace chockside::models {

namespace {

QVariant pieces(const HomeRow& row)
{
    job::JobView shape;
    shape.rail = row.rail;
    QVariantList pieces;
    for (const QVariantMap& piece : rail_rows(shape)) pieces.append(piece);
    return pieces;
}

struct Cell {
    const char* name;
    QVariant (*value)(const HomeRow&);
};

constexpr std::array cells = {
    Cell{"job", [](const HomeRow& r) { return QVariant(words(r.job)); }}, Cell{"tail", [](const HomeRow& r) { return QVariant(words(r.tail)); }},
    Cell{"note", [](const HomeRow& r) { return QVariant(words(r.note)); }}, Cell{"complaint", [](const HomeRow& r) { return QVariant(words(r.complaint)); }},
    Cell{"state", [](const HomeRow& r) { return QVariant(words(r.state)); }}, Cell{"mark", [](const HomeRow& r) { return QVariant(mark_name(r.mark)); }},
    Cell{"where", [](const HomeRow& r) { return QVariant(words(r.where)); }}, Cell{"pieces", pieces},
    Cell{"entries", [](const HomeRow& r) { return QVariant(r.entries); }}, Cell{"mine", [](const HomeRow& r) { return QVariant(r.mine); }}};

} // namespace

QVariant HomeJobs::data(const QModelIndex& index, int role) const
{
    const int cell = role - Qt::UserRole;
    if (!index.isValid() || index.row() >= count() || cell < 0 || cell >= int(cells.size())) return {};
    return cells[static_cast<std::size_t>(cell)].value(rows_[static_cast<std::size_t>(index.row())]);
}

QHash<int, QByteArray> HomeJobs::roleNames() const
{
    QHash<int, QByteArray> names;
    for (const Cell& cell : cells) names.insert(Qt::UserRole + int(names.size()), cell.name);
    return names;
}

void HomeJobs::set_rows(const std::vector<HomeRow>& rows)
{
    const bool same = std::equal(rows.begin(), rows.end(), rows_.begin(), rows_.end(), [](const HomeRow& a, const HomeRow& b) { return a.job == b.job; });
    if (same) {
        rows_ = rows;
        if (count() > 0) emit dataChanged(index(0), index(count() - 1));
        return;
    }
    beginResetModel();
    rows_ = rows;
    endResetModel();
    emit count_changed();
}

} // namespace chockside::models
