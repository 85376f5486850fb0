#pragma once
// Tells when nobody has touched the screen or a key for a while.

#include <QElapsedTimer>
#include <QObject>
#include <QTimer>

#include <chrono>

namespace chockside::models {

class IdleWatch : public QObject {
    Q_OBJECT
public:
    /// Watches the whole application.
    explicit IdleWatch(QObject* parent = nullptr);
    void set_after(std::chrono::milliseconds time);

signals:
    void idle();

protected:
    bool eventFilter(QObject* of, QEvent* event) override;

private:
    QElapsedTimer untouched_;
    QTimer look_;
    std::chrono::milliseconds after_{15 * 60'000};
};

} // namespace chockside::models
