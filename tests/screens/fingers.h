#pragma once
// Fingers on the glass: finds what is shown by its object name and touches it, as a gloved hand would. Never calls into a model.

#include <QObject>
#include <QPointer>
#include <QPointingDevice>
#include <QString>

#include <deque>
#include <functional>
#include <memory>
#include <vector>

class QQuickItem;
class QQuickWindow;

namespace chockside::screens {

struct Touch {
    enum class Kind { tap, type } kind = Kind::tap;
    QString name;   ///< object name of the key or field
    QString text;   ///< typed into a field after it was tapped
    bool if_shown = false; ///< left out where the screen does not ask for it
};

class Fingers : public QObject {
    Q_OBJECT
public:
    explicit Fingers(QQuickWindow* window, QObject* parent = nullptr);

    /// The item of that name which is visible, or null.
    QQuickItem* shown(const QString& name) const;
    /// One after the other; each waits until its key is there and ready. `done` gets an empty text, or why it could not go on.
    void work(std::vector<Touch> touches, std::function<void(const QString&)> done);
    bool busy() const { return busy_; }
    /// While a picture is taken no finger moves.
    void keep_off(bool off) { off_ = off; }
    int touches() const { return count_; }
    /// What the key touched last asked for as the finger came down; empty for what is no key.
    QString asked() const { return asked_; }

    /// While a hold key is held, at about six tenths of its time.
    std::function<void()> halfway;
    /// What is asked on the glass as a whole. While it stays the same, a key whose words changed under the finger, or that had to wait, is
    /// pressed again.
    std::function<QString()> question;

private slots:
    void note_acted() { ++acted_; }
    void note_wait() { waited_ = true; }

private:
    void next();
    void touch(QQuickItem* item);
    void drag(const QQuickItem* box, double by);
    void drag_on(QPointF from, double by, int step);
    void release(QQuickItem* item, QPoint at);
    void go_on();
    void finish(const QString& why);
    static void key_text(QQuickWindow* window, const QString& text);

    QQuickWindow* window_;
    std::unique_ptr<QPointingDevice> device_;
    std::vector<Touch> touches_;
    std::function<void(const QString&)> done_;
    std::deque<std::pair<std::vector<Touch>, std::function<void(const QString&)>>> queue_;
    std::size_t at_ = 0;
    QPointF stood_{-1, -1};
    QString asked_, question_;
    int waited_ms_ = 0, count_ = 0, acted_ = 0;
    bool busy_ = false, off_ = false, waited_ = false;
};

} // namespace chockside::screens
