#pragma once
// Handing over without a network: the file that was written, and its series of symbols, one at a time.

#include <QObject>
#include <QString>
#include <QStringList>
#include <QTimer>
#include <QtQml/qqmlregistration.h>

namespace chockside::models {

struct CarrySeen {
    QString file;                         ///< path
    qint64 first = 0, last = 0, upto = 0; ///< entries in the file; the last one in the series
    QStringList symbols;
};

class CarryModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(bool shown READ shown NOTIFY changed FINAL)
    Q_PROPERTY(bool running READ running NOTIFY changed FINAL)
    Q_PROPERTY(QString symbol READ symbol NOTIFY changed FINAL)
    Q_PROPERTY(QString place READ place NOTIFY changed FINAL)
    Q_PROPERTY(QString sentence READ sentence NOTIFY changed FINAL)
    Q_PROPERTY(QString says READ says NOTIFY changed FINAL)
    Q_PROPERTY(QString file READ file NOTIFY changed FINAL)
    Q_PROPERTY(QString came READ came NOTIFY changed FINAL)
public:
    static constexpr int pace_ms = 400; ///< between pictures: a camera needs two or three looks at each

    explicit CarryModel(QObject* parent = nullptr);

    void set(const CarrySeen& seen);
    void set_taken_back(int files);

    bool shown() const { return !seen_.symbols.isEmpty(); }
    bool running() const { return turn_.isActive(); }
    /// The text of the present symbol; empty where nothing is shown.
    QString symbol() const { return seen_.symbols.value(at_); }
    /// "3 of 51".
    QString place() const;
    QString sentence() const;
    QString says() const;
    QString file() const { return seen_.file; }
    /// What the last look for files from the shop brought.
    QString came() const { return came_; }

    Q_INVOKABLE void ask() { emit asked(); }
    Q_INVOKABLE void look_back() { emit look_back_asked(); }
    /// By hand, which also stops the run. Round at both ends.
    Q_INVOKABLE void step(int by);
    Q_INVOKABLE void run(bool on);
    Q_INVOKABLE void done();

signals:
    void changed();
    void asked();
    void look_back_asked();

private:
    void go(int by);

    CarrySeen seen_;
    QString came_;
    int at_ = 0;
    QTimer turn_;
};

} // namespace chockside::models
