#include "rows_model.h"

#include <QSet>

namespace chockside::models {

RowsModel::RowsModel(const QStringList& members, const QString& key, QObject* parent)
    : QAbstractListModel(parent), members_(members), key_(key)
{
}

int RowsModel::rowCount(const QModelIndex& parent) const { return parent.isValid() ? 0 : count(); }

QVariant RowsModel::data(const QModelIndex& index, int role) const
{
    const int member = role - Qt::UserRole;
    if (!index.isValid() || index.row() >= count() || member < 0 || member >= members_.size()) return {};
    return rows_[index.row()].value(members_[member]);
}

QHash<int, QByteArray> RowsModel::roleNames() const
{
    QHash<int, QByteArray> names;
    for (int i = 0; i < members_.size(); ++i) names.insert(Qt::UserRole + i, members_[i].toUtf8());
    return names;
}

QVariantList RowsModel::all() const { return {rows_.begin(), rows_.end()}; }

QVariant RowsModel::value(int row, const QString& member) const { return row >= 0 && row < count() ? rows_[row].value(member) : QVariant(); }

QString RowsModel::key_of(const QVariantMap& row, qsizetype at) const { return key_.isEmpty() ? QString::number(at) : row.value(key_).toString(); }

void RowsModel::drop_gone(const QList<QVariantMap>& rows)
{
    QSet<QString> wanted;
    for (qsizetype i = 0; i < rows.size(); ++i) wanted.insert(key_of(rows[i], i));
    for (qsizetype i = rows_.size() - 1; i >= 0; --i) {
        if (wanted.contains(key_of(rows_[i], i))) continue;
        beginRemoveRows({}, int(i), int(i));
        rows_.removeAt(i);
        endRemoveRows();
    }
}

void RowsModel::place(qsizetype at, const QVariantMap& row)
{
    qsizetype old = -1;
    for (qsizetype i = at; i < rows_.size() && old < 0; ++i)
        if (key_of(rows_[i], i) == key_of(row, at)) old = i;
    if (old < 0) {
        beginInsertRows({}, int(at), int(at));
        rows_.insert(at, row);
        endInsertRows();
        return;
    }
    if (old != at) {
        beginMoveRows({}, int(old), int(old), {}, int(at));
        rows_.move(old, at);
        endMoveRows();
    }
    if (rows_[at] == row) return;
    QList<int> roles;
    for (int i = 0; i < members_.size(); ++i)
        if (rows_[at].value(members_[i]) != row.value(members_[i])) roles.append(Qt::UserRole + i);
    rows_[at] = row;
    if (!roles.isEmpty()) emit dataChanged(index(int(at)), index(int(at)), roles);
}

void RowsModel::set_rows(const QList<QVariantMap>& rows)
{
    if (rows == rows_) return;
    const qsizetype before = rows_.size();
    drop_gone(rows);
    for (qsizetype i = 0; i < rows.size(); ++i) place(i, rows[i]);
    while (rows_.size() > rows.size()) { // a key that came twice before and once now
        beginRemoveRows({}, int(rows_.size() - 1), int(rows_.size() - 1));
        rows_.removeLast();
        endRemoveRows();
    }
    if (rows_.size() != before) emit count_changed();
    emit rows_changed();
}

} // namespace chockside::models
