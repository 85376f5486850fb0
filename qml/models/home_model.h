#pragma once
// The jobs of this tablet, each a row with its line.

#include "home_jobs.h"
#include "rows_model.h"

#include <QObject>

#include <algorithm>

namespace chockside::models {

/// What the shop wrote: a write-up that waits to be opened, or a word to a job or to all (`job` empty).
struct ShopItem {
    bool write_up = false;
    std::string job, tail, title, text, by;
    std::int64_t utc_ms = 0;
};

class HomeModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(chockside::models::HomeJobs* jobs READ jobs CONSTANT FINAL)
    Q_PROPERTY(chockside::models::RowsModel* from_shop READ from_shop CONSTANT FINAL)
    Q_PROPERTY(int total READ total NOTIFY changed FINAL)
    Q_PROPERTY(QString searched READ searched NOTIFY changed FINAL)
    Q_PROPERTY(bool known READ known NOTIFY changed FINAL)
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
    /// Jobs in all; the rows are the newest of them.
    void set_total(int jobs);
    void set_station(const QString& station, const QString& signed_in, int unsent);
    void set_now(std::int64_t utc_ms);

    /// Write-ups that wait, then the newest words.
    void set_from_shop(const std::vector<ShopItem>& items);
    const ShopItem* waiting(const QString& job) const;

    HomeJobs* jobs() { return &jobs_; }
    RowsModel* from_shop() { return &from_shop_; } ///< id, job, head, text, by, waits
    /// False until the store has told its jobs once: before that nothing may be said about them.
    bool known() const { return known_; }
    int total() const { return std::max(total_, jobs_.count()); }
    QString searched() const { return searched_; }
    /// Words in tail or complaint; the rows follow.
    Q_INVOKABLE void search(const QString& words);
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
    /// A write-up of the shop's becomes a job.
    Q_INVOKABLE void begin(const QString& job) { emit begin_asked(job); }
    Q_INVOKABLE void practise() { emit practice_asked(); }

signals:
    void changed();
    void tick();
    void open_asked(const QString& job);
    void begin_asked(const QString& job);
    void practice_asked();
    void search_asked(const QString& words);

private:
    const HomeRow* half_done() const;
    HomeJobs jobs_;
    RowsModel from_shop_;
    std::vector<ShopItem> items_;
    QString station_, signed_in_;
    bool known_ = false;
    int total_ = 0;
    QString searched_;
    int unsent_ = 0;
    std::int64_t now_ms_ = 0;
};

} // namespace chockside::models
