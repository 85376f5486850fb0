#pragma once
// The job as the app holds it: the engine on its own thread, the line on another, one view out, one answer in. Screens, the headless
// rehearsal and the tests all work through this door.

#include <core/base/json.h>
#include <core/base/time.h>
#include <core/job/command.h>
#include <core/job/guard.h>
#include <core/job/view.h>
#include <core/journal/store.h>
#include <core/link/port_check.h>
#include <core/people/people.h>
#include <core/sync/tablet.h>
#include <core/trend/viewer.h>
#include <core/watch/snapshot.h>
#include <platform/desk/from_shop.h>
#include <platform/desk/profiles.h>

#include <QObject>
#include <QString>
#include <QThread>

#include <memory>
#include <vector>

namespace chockside::desk {

class DeskWorker;

struct DeskOptions {
    std::string data_folder;
    std::string assets_folder;
    std::string profile = "sandgrouse_12_ramp";
};

/// What is handed over without a network.
struct Carrying {
    QString file;                             ///< path
    qint64 first = 0, last = 0, upto = 0;     ///< own entries in the file; the last one in the series
    QStringList symbols;                      ///< texts of the series
};

/// Why nothing is heard on a port, or that all is well: every step in order.
struct PortChecked {
    QString port;
    std::vector<link::PortStep> steps;
    qint64 bytes = 0, frames = 0;
    QString part; ///< as the unit names itself
};

class Desk : public QObject {
    Q_OBJECT
public:
    explicit Desk(DeskOptions options, QObject* parent = nullptr);
    ~Desk() override;

    std::shared_ptr<const job::JobView> view() const { return view_; }
    std::shared_ptr<const watch::LiveSnapshot> live() const { return live_; }

public slots:
    /// Opens the store; `rows` follows. Codes of Store::open come by `problem`, and again whenever something is asked for without a store.
    void start();
    /// Forgets how to read what is kept, where somebody's PIN can bring it back; `locked` follows. What is at work goes on and is kept.
    /// `idle`: not while the line works for a prompt.
    void lock(bool idle = false);
    /// Opens again with a person's PIN, who is at the device from then on; `here` and `locked`, or `problem`, follow.
    void unlock(const QString& person, const QString& pin);
    /// The text of the shop's code; `queue` or `problem` follows.
    void enrol_at_shop(const QString& code);
    void try_shop();
    /// Without a network: what the shop has no receipt of goes into a file in this folder, and comes as the symbols of a series; `carried` or
    /// `problem` follows. The series holds the first entries, as far as a person can wait for them; the file holds all.
    void carry(const QString& folder);
    /// Takes in every file of receipts (*.receipts, *.chockside-receipts) in the folder; `queue` and `taken_back`, or `problem`, follow.
    void take_back(const QString& folder);
    /// `rows` follows again.
    void list();
    /// Narrows `rows` to jobs with these words in tail or complaint; empty: all again.
    void search(const QString& words);
    /// Reads what profiles there are; `profiles` follows. A shop's own lie in DATA/profiles.
    void list_profiles();
    /// `profile`: a name that `profiles` told; empty: the one of DeskOptions.
    void open_new(const chockside::job::Opening& opening, const QString& person, const QString& profile = {});
    void open_job(const QString& job);
    /// The port that "open the link" uses.
    void set_port(const QString& port);
    /// Looks why nothing is heard on that port: the line is let go, some seconds are listened, the unit is asked who it is, and where nothing
    /// fits other rates are tried. `port_checked` follows; code port_not_chosen.
    void check_port();
    void set_person(const QString& person);
    /// Answers the present prompt: the outcome id, the number as decimal text, or empty for an act. `prompt_id` guards against a
    /// prompt that has changed meanwhile. Links, sessions, readings, watches and fits are carried out, then recorded.
    void press(const QString& prompt_id, const QString& answer, const chockside::json::Value& extra);
    /// A check of the others (its id) that is worked toward from now on, until it is answered; empty: the proposed one again.
    void take_check(const QString& check);
    /// Any other command (notes, photos, other checks).
    void submit(const chockside::job::Command& command);
    /// Flex test: the place that hands move from now on; empty: hands off.
    void flex_mark(const QString& place);
    /// Earlier readings of the open job, out of its captures; answered by `history` now and whenever more was read, or `problem`.
    void ask_history(const chockside::trend::Ask& ask);
    /// Whether somebody looks at them: only then what the line writes is read on.
    void watch_history(bool on);
    /// Samples of the lanes last asked for, in the window, as CSV into a folder; `history_saved` or `problem`.
    void save_history(const QString& folder);
    /// Writes the report as PDF and the journal as JSON lines into a folder; `exported` names them.
    void export_to(const QString& folder);
    void stop();

signals:
    void rows(std::vector<chockside::journal::JobRow> rows);
    void view_changed(std::shared_ptr<const chockside::job::JobView> view);
    void live_changed(std::shared_ptr<const chockside::watch::LiveSnapshot> live);
    /// A press or a command was carried out and is durable; `prompt_id` as given.
    void saved(QString prompt_id);
    /// It was not; nothing was written.
    void problem(chockside::Problem what);
    void exported(QString pdf, QString journal);
    /// How many jobs there are in all, told with `rows`, which are the newest hundred.
    void counted(qint64 jobs);
    void profiles(std::vector<chockside::desk::ProfileAtHand> profiles);
    void history(std::shared_ptr<const chockside::trend::Seen> seen);
    void history_saved(QString path);
    /// While locked, all commands answer pin_needed. `who` can open; empty: nobody has a PIN yet, and nothing locks.
    void locked(bool locked, QStringList who);
    /// Who works from now on, as their PIN says.
    void here(QString person);
    /// What is here, sent, at the shop, archived, and when it is tried again; told when it changes.
    void queue(chockside::sync::QueueView queue, QString shop);
    void carried(chockside::desk::Carrying carrying);
    void taken_back(int files);
    /// Where this device's key lies: in the system's keyring, or in a file. Told at the start.
    void key_kept(bool in_keyring);
    /// Who can sign on this device; told at the start and when somebody is new.
    void people(std::vector<chockside::people::Person> people);
    void port_checked(chockside::desk::PortChecked checked);
    /// What the shop wrote for this tablet; told at the start and when something came.
    void from_shop(chockside::desk::FromShop what);

private:
    std::unique_ptr<QThread> thread_;
    DeskWorker* worker_;
    std::shared_ptr<const job::JobView> view_;
    std::shared_ptr<const watch::LiveSnapshot> live_;
};

} // namespace chockside::desk
