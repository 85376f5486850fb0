#pragma once
// The jobs of this tablet as rows. A cell's value is made when a delegate asks for it, since only the rows in view ever do.

#include <core/job/view.h>

#include <QAbstractListModel>
#include <QVariantList>
#include <QtQml/qqmlregistration.h>

#include <string>
#include <vector>

namespace chockside::models {

/// One job as the home screen shows it.
struct HomeRow {
    std::string job, tail, note;       ///< note: "leaves 20:00 Z, in 5 h 05"
    std::string complaint;
    std::string state;                 ///< "6 open, two of them breakers"
    job::Mark mark = job::Mark::none;
    std::string where;                 ///< "in Isolate, left 23 min ago"
    std::vector<job::StageCell> rail;
    int entries = 0;
    bool mine = false;                 ///< stands half done here: the large key goes on with it
};

class HomeJobs : public QAbstractListModel {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("Rows come from the view models")
    Q_PROPERTY(int count READ count NOTIFY count_changed FINAL)
public:
    using QAbstractListModel::QAbstractListModel;

    int rowCount(const QModelIndex& parent = {}) const override { return parent.isValid() ? 0 : count(); }
    QVariant data(const QModelIndex& index, int role) const override;
    QHash<int, QByteArray> roleNames() const override;

    int count() const { return static_cast<int>(rows_.size()); }
    const std::vector<HomeRow>& rows() const { return rows_; }
    /// The same jobs in the same order are told as changed cells, so that delegates live on and keep focus.
    void set_rows(const std::vector<HomeRow>& rows);

signals:
    void count_changed();

private:
    std::vector<HomeRow> rows_;
};

} // namespace chockside::models
