#pragma once
// The earlier readings of one job on their own thread: its sealed captures are read, a segment a turn, into a trend that lies in memory only,
// and go on being read while the line writes.

#include <core/base/disk.h>
#include <core/trend/growing.h>
#include <core/trend/viewer.h>
#include <core/trust/vault.h>

#include <QObject>
#include <QString>
#include <QTimer>

#include <memory>

namespace chockside::desk {

struct HistoryOptions {
    std::string folder; ///< of the job's captures; not there: nothing was heard yet
    std::shared_ptr<const codec::Plan> plan;
    std::shared_ptr<trust::Vault> vault;
    Disk* disk = nullptr; ///< outlives the worker
    /// The newest ones that are read when it begins; the trend lies in memory. 32 of 8 MiB are six hours of a line at 115,200 bits a second
    /// that is never quiet, and some 100 MiB. Older ones are for the command `trend`.
    std::size_t most_segments = 32;
};

class HistoryWorker : public QObject {
    Q_OBJECT
public:
    explicit HistoryWorker(HistoryOptions options);

public slots:
    void ask(const chockside::trend::Ask& ask);
    /// Whether somebody looks: only then what is new is read.
    void watch(bool on);
    /// The lanes' samples in the window as CSV, in place of what is there.
    void save(const QString& path);

signals:
    void seen(std::shared_ptr<const chockside::trend::Seen> seen);
    void saved(QString path);
    void problem(chockside::Problem what);

private:
    void turn();
    bool next_segment();
    void tell(trend::Seen seen);
    Status write_csv(const std::string& path) const;

    HistoryOptions options_;
    std::unique_ptr<trend::Trend> trend_;
    std::unique_ptr<trend::Growing> growing_;
    std::unique_ptr<trend::Viewer> viewer_;
    trend::Seen last_;
    std::string current_, trouble_;
    std::size_t read_ = 0, segments_ = 0, size_ = 0, left_out_ = 0;
    std::unique_ptr<QTimer> timer_;
    bool watched_ = false;
};

} // namespace chockside::desk
