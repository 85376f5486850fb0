#pragma once
// A list of rows for QML. New content is taken as exact row changes (insert, remove, change), never as a reset, so that delegates
// live on and keep focus.

#include <QAbstractListModel>
#include <QVariantMap>
#include <QtQml/qqmlregistration.h>

namespace chockside::models {

class RowsModel : public QAbstractListModel {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("Rows come from the view models")
    Q_PROPERTY(int count READ count NOTIFY count_changed FINAL)
    Q_PROPERTY(QVariantList all READ all NOTIFY rows_changed FINAL)
public:
    /// `key` names the member by which a row is known again; without it rows are known by place.
    explicit RowsModel(const QStringList& members, const QString& key = {}, QObject* parent = nullptr);

    int rowCount(const QModelIndex& parent = {}) const override;
    QVariant data(const QModelIndex& index, int role) const override;
    QHash<int, QByteArray> roleNames() const override;

    int count() const { return static_cast<int>(rows_.size()); }
    void set_rows(const QList<QVariantMap>& rows);
    const QList<QVariantMap>& rows() const { return rows_; }
    /// All rows at once, for what shows one row by its place; told only when something changed.
    QVariantList all() const;
    /// Member of a row, or nothing where either does not exist.
    Q_INVOKABLE QVariant value(int row, const QString& member) const;

signals:
    void count_changed();
    void rows_changed();

private:
    QString key_of(const QVariantMap& row, qsizetype at) const;
    void drop_gone(const QList<QVariantMap>& rows);
    void place(qsizetype at, const QVariantMap& row);
    QStringList members_;
    QString key_;
    QList<QVariantMap> rows_;
};

} // namespace chockside::models
