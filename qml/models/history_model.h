#pragma once
// Earlier readings for the screen: what is asked goes out, what is seen comes back from a thread that has the captures.

#include "rows_model.h"

#include <core/trend/viewer.h>

#include <QObject>
#include <QStringList>

#include <memory>

namespace chockside::models {

class HistoryModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(chockside::models::RowsModel* known READ known CONSTANT FINAL)
    Q_PROPERTY(bool any READ any NOTIFY changed FINAL)
    Q_PROPERTY(bool held READ held NOTIFY changed FINAL)
    Q_PROPERTY(QString span READ span NOTIFY changed FINAL)
    Q_PROPERTY(QString state_mark READ state_mark NOTIFY changed FINAL)
    Q_PROPERTY(QString state_word READ state_word NOTIFY changed FINAL)
    Q_PROPERTY(QString searched READ searched NOTIFY changed FINAL)
    Q_PROPERTY(QString searched_label READ searched_label NOTIFY changed FINAL)
    Q_PROPERTY(QString kind READ kind WRITE set_kind NOTIFY changed FINAL)
    Q_PROPERTY(QString limit READ limit WRITE set_limit NOTIFY changed FINAL)
    Q_PROPERTY(QString limit_title READ limit_title NOTIFY changed FINAL)
    Q_PROPERTY(QString missing READ missing NOTIFY changed FINAL)
    Q_PROPERTY(QString why_still READ why_still NOTIFY changed FINAL)
    Q_PROPERTY(bool busy READ busy NOTIFY changed FINAL)
    Q_PROPERTY(QString answer_mark READ answer_mark NOTIFY changed FINAL)
    Q_PROPERTY(QString answer READ answer NOTIFY changed FINAL)
public:
    static constexpr int most_lanes = 4;

    explicit HistoryModel(QObject* parent = nullptr);
    void set_seen(std::shared_ptr<const trend::Seen> seen);
    void set_saved(const QString& path);
    /// What the last ask met instead of an answer.
    void refuse(const QString& why);
    void forget();
    /// Asks again where the page stands, after what was seen had to be forgotten.
    void resume();
    const std::shared_ptr<const trend::Seen>& seen() const { return seen_; }

    /// Rows: id, label_text, unit, shown.
    RowsModel* known() { return &known_; }
    bool any() const { return seen_ && seen_->all.has_value(); }
    bool held() const { return seen_ && seen_->window.frozen; }
    /// "14:02:11Z to 14:12:11Z, 10 min"
    QString span() const;
    QString state_mark() const;
    QString state_word() const;
    QString searched() const { return QString::fromStdString(searched_); }
    QString searched_label() const { return label_of(searched_); }
    /// above, below, changes, invalid, missing
    QString kind() const { return kind_; }
    void set_kind(const QString& kind);
    QString limit() const { return limit_; }
    void set_limit(const QString& limit);
    /// Of the number's field; empty where none is wanted.
    QString limit_title() const;
    /// What a search waits for; empty where it waits for nothing.
    QString missing() const;
    /// Why nothing can be moved yet; empty once something was heard.
    QString why_still() const;
    bool busy() const { return searching_; }
    QString answer_mark() const;
    QString answer() const;

    /// Asked again and again only while the page stands.
    Q_INVOKABLE void set_open(bool open);
    /// Pixels of the traces' width.
    Q_INVOKABLE void set_columns(int columns);
    Q_INVOKABLE void back() { ask(trend::Ask::Do::back); }
    Q_INVOKABLE void forth() { ask(trend::Ask::Do::forth); }
    Q_INVOKABLE void closer() { ask(trend::Ask::Do::closer); }
    Q_INVOKABLE void wider() { ask(trend::Ask::Do::wider); }
    Q_INVOKABLE void all() { ask(trend::Ask::Do::all); }
    Q_INVOKABLE void hold_or_follow() { ask(held() ? trend::Ask::Do::follow : trend::Ask::Do::hold); }
    /// By a share of the window, positive towards later; many in a row are put together.
    Q_INVOKABLE void drag(double share);
    /// The window's middle to a share of everything.
    Q_INVOKABLE void go(double share);
    /// Shows a signal, or not any more; with the fifth the first goes.
    Q_INVOKABLE void toggle(const QString& id);
    Q_INVOKABLE void search_in(int lane);
    Q_INVOKABLE void later() { search(trend::Ask::Do::later); }
    Q_INVOKABLE void earlier() { search(trend::Ask::Do::earlier); }
    Q_INVOKABLE void save() { emit save_asked(); }

    static QString label_of(const std::string& signal);
    /// What goes away when a wire lets go; a state such as "on ground" is none.
    static bool tells_of_drops(const std::string& signal);
    /// "182.4°", "yes", "no computed data"
    static QString value_of(const trend::Sample& sample, const std::string& unit, bool boolean);

signals:
    void changed();
    void seen_changed();
    void asked(const chockside::trend::Ask& ask);
    void watch_asked(bool on);
    void save_asked();

private:
    void ask(trend::Ask::Do what, double share = 0.5);
    void search(trend::Ask::Do way);
    void choose_first_lanes();
    void set_lanes(std::vector<std::string> lanes);
    void show();
    QString limit_text() const;

    RowsModel known_;
    std::shared_ptr<const trend::Seen> seen_;
    std::vector<std::string> lanes_;
    std::string searched_;
    QString kind_ = "invalid", limit_, question_, answer_, answer_mark_;
    double dragged_ = 0;
    int columns_ = 0, waiting_ = 0;
    bool open_ = false, searching_ = false;
};

} // namespace chockside::models
