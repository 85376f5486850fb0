#pragma once
// The jobs of this tablet, each a row with its line.

#include "rows_model.h"

#include <core/job/view.h>

#include <QVariantList>

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

class HomeModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(chockside::models::RowsModel* jobs READ jobs CONSTANT FINAL)
    Q_PROPERTY(QString sentence READ sentence NOTIFY changed FINAL)
    Q_PROPERTY(QString station READ station NOTIFY changed FINAL)
    Q_PROPERTY(QString signed_in READ signed_in NOTIFY changed FINAL)
    Q_PROPERTY(QString utc READ utc NOTIFY tick FINAL)
    Q_PROPERTY(QString local READ local NOTIFY tick FINAL)
    Q_PROPERTY(QString key_small READ key_small NOTIFY changed FINAL)
    Q_PROPERTY(QString key_large READ key_large NOTIFY changed FINAL)
    Q_PROPERTY(int unsent READ unsent NOTIFY changed FINAL)
public:
    explicit HomeModel(QObject* parent = nullptr);
    void set_rows(const std::vector<HomeRow>& rows);
    void set_station(const QString& station, const QString& signed_in, int unsent);
    void set_now(std::int64_t utc_ms);

    RowsModel* jobs() { return &jobs_; }
    QString sentence() const;
    QString station() const { return station_; }
    QString signed_in() const { return signed_in_; }
    QString utc() const;
    QString local() const;
    QString key_small() const;
    QString key_large() const;
    int unsent() const { return unsent_; }

    /// The large key: goes on with the half-done job, or starts a practice job where there is none.
    Q_INVOKABLE void press();
    Q_INVOKABLE void open(const QString& job) { emit open_asked(job); }
    Q_INVOKABLE void practise() { emit practice_asked(); }

signals:
    void changed();
    void tick();
    void open_asked(const QString& job);
    void practice_asked();

private:
    const QVariantMap* half_done() const;
    RowsModel jobs_;
    QString station_, signed_in_;
    int unsent_ = 0;
    std::int64_t now_ms_ = 0;
};

} // namespace chockside::models
