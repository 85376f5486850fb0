#pragma once
// The seam between screens and desk: the app asks, the backend answers by signals. Called and answering on the GUI thread.

#include "flex_model.h"
#include "home_model.h"
#include "job_model.h"
#include "live_model.h"
#include "new_job_model.h"
#include "port_check_model.h"
#include "queue_model.h"

#include <core/job/command.h>
#include <core/job/view.h>

#include <core/trend/viewer.h>

#include <QObject>
#include <QStringList>

#include <cstdint>
#include <memory>
#include <vector>

namespace chockside::app {

/// What happened while nobody looked: shown once on return.
struct AwayNote {
    int minutes = 0;
    struct Line { job::Mark mark = job::Mark::none; std::string text; };
    std::vector<Line> meanwhile;
    std::vector<job::EntryLine> steps;   ///< the last three of a person, oldest first
};

class AppBackend : public QObject {
    Q_OBJECT
public:
    using QObject::QObject;
    ~AppBackend() override = default;

    /// First figures and rows; called once after the signals are connected.
    virtual void start() = 0;
    virtual void submit(const job::Command& command) = 0;
    /// A check of the others is worked toward from now on; empty: the proposed one again. Answers with viewChanged.
    virtual void take_check(const QString& /*check*/) {}
    /// `scale`: practice time runs that much faster, 1..120. Answers with viewChanged of the new job.
    virtual void start_practice(std::uint64_t seed, double scale) = 0;
    virtual void open_job(const QString& job) = 0;
    /// What a new job can be opened with; answered by profilesChanged and portsChanged.
    virtual void list_new() {}
    /// Where a shop lays its own profiles; empty: nowhere.
    virtual QString own_profiles() const { return {}; }
    /// Answers with viewChanged of the new job, or refused.
    virtual void open_new(const models::NewJob&) {}
    /// The port that the next opening of the line takes.
    virtual void use_port(const QString& /*path*/) {}
    /// Why nothing is heard on the port: answered by portChecked, or refused.
    virtual void check_port() {}
    virtual void leave_job() {}
    virtual void try_shop() {}
    virtual void enrol_at_shop(const QString& /*code*/) {}
    /// Without a network: writes what the shop lacks; answered by carried.
    virtual void carry() {}
    /// Looks for files that came back from the shop; answered by takenBack.
    virtual void take_back() {}
    virtual void lock(bool /*idle*/) {}
    virtual void unlock(const QString& /*person*/, const QString& /*pin*/) {}
    /// Narrows the rows of home to jobs with these words in tail or complaint; empty: all again.
    virtual void search(const QString&) {}
    /// A move in a practice world that is not coupled to steps.
    virtual void hand(const json::Value& move) = 0;
    /// Asks for what can be seen; answered by seenChanged.
    virtual void eyes() = 0;
    /// Flex test: hands move this place from now on; empty: hands off.
    virtual void flex_mark(const QString& place) = 0;
    /// Earlier readings of the open job; answered by historyChanged, now and as more is read while somebody watches.
    virtual void ask_history(const trend::Ask&) {}
    virtual void watch_history(bool /*on*/) {}
    /// The lanes in the window as CSV; answered by historySaved.
    virtual void save_history() {}
    /// Writes the report and the journal into a folder; told by a banner.
    virtual void write_report() {}
    /// Looks which pictures this device holds; answered by picturesChanged.
    virtual void list_pictures() {}
    virtual void set_person(const QString& initials) = 0;

signals:
    void viewChanged(const chockside::job::JobView& view);
    void liveChanged(const chockside::models::LiveFrame& frame);
    void profilesChanged(const std::vector<chockside::models::ProfileChoice>& profiles);
    void portChecked(const chockside::models::PortSeen& seen);
    void portsChanged(const std::vector<chockside::models::PortChoice>& ports);
    void historyChanged(std::shared_ptr<const chockside::trend::Seen> seen);
    void historySaved(const QString& path);
    void flexChanged(const chockside::models::FlexSeen& seen);
    void fromShopChanged(const std::vector<chockside::models::ShopItem>& items);
    void homeChanged(const std::vector<chockside::models::HomeRow>& rows);
    /// Jobs in all, of which homeChanged brings the newest.
    void jobsCounted(int jobs);
    /// Operator or station, who is signed in, entries not sent.
    void stationChanged(const QString& station, const QString& signed_in, int unsent);
    void refused(const QString& words);
    void picturesChanged(const std::vector<chockside::models::PictureSeen>& pictures);
    /// A command is durable; its id.
    void written(const QString& id);
    void peopleChanged(const std::vector<chockside::models::Signer>& people);
    /// While locked nothing of what is kept can be read; `who` can open it.
    void queueChanged(const chockside::models::QueueSeen& queue);
    void carried(const chockside::models::CarrySeen& seen);
    void takenBack(int files);
    void keyKept(bool in_keyring);
    void lockChanged(bool locked, const QStringList& who);
    /// Who works from now on: their PIN unlocked the device.
    void personCame(const QString& initials);
    void seenChanged(const chockside::json::Value& all);
    void handsChanged(const std::vector<chockside::json::Value>& moves, bool coupled);
    void away(const chockside::app::AwayNote& note);
    /// kind "stop" or "attention" with a cause that stands, or an empty kind when it ended.
    void bannerChanged(const QString& kind, const QString& head, const QString& says, const QStringList& steps);
};

} // namespace chockside::app
