#pragma once
// A technician without hands of flesh: follows the desk's prompts, acts on the practice aircraft through its hands, answers from what
// its eyes and meters see, and never looks behind the panel where the fault is drawn. Used headless and by the tests.

#include <platform/desk/desk.h>
#include <platform/desk/practice_driver.h>
#include <platform/desk/presser.h>

#include <core/base/random.h>

#include <QElapsedTimer>
#include <QObject>
#include <QTimer>

#include <deque>
#include <functional>
#include <map>
#include <string>
#include <vector>

namespace chockside::desk {

struct RehearsalOptions {
    double scale = 30;
    std::uint64_t seed = 1;     ///< of the technician's own slips
    double slip = 0.02;         ///< share of questions answered wrongly
    std::string worker = "LK", inspector = "JM";
    std::string forget;         ///< label of a breaker that is recorded as pushed in at Close, but not touched
    double dwell_min = 0;       ///< unit time that the line is left running before the isolation goes on
    bool talk = false;          ///< one line a step on standard output
};

struct RehearsalResult {
    bool closed = false;
    std::string stuck;          ///< why it ended, where it did not close
    std::string finding_kind, finding_class, finding_cause;
    std::string leads; ///< likeliest class where nothing is proven: `p` is its
    double p = 0;
    std::vector<std::string> missing;   ///< gates that the advice names
    std::string truth, truth_class;     ///< revealed after the finding was told
    std::vector<std::string> mishaps;
    std::string found_out;      ///< breaker that the last look along the panel found out
    bool unit_advised = false;
    std::string part_off;
    int entries = 0;
    double job_minutes = 0;     ///< unit time from opening to the end
    bool right() const { return finding_class == truth_class && finding_kind != "not_proven" ? p >= 0.9 : finding_kind == "not_proven" && !missing.empty(); }
};

class Rehearsal : public QObject {
    Q_OBJECT
public:
    static constexpr const char* worker_pin = "480215"; ///< of the invented technician

    /// `presser` carries the answers out; without one they go straight through the desk.
    Rehearsal(Desk& desk, PracticeDriver& world, RehearsalOptions options, Presser* presser = nullptr, QObject* parent = nullptr);
    ~Rehearsal() override;

public slots:
    void begin();
    /// Lays down the tools without a word: `done` is not told. What was asked of the aircraft is still answered, so it must outlive that.
    void leave();

signals:
    void done(chockside::desk::RehearsalResult result);
    void pressed(QString prompt);

private:
    using Then = std::function<void()>;
    using Seen = std::function<void(const json::Value&)>;

    struct Sample {
        double clock = 0;
        struct Face {
            bool lit = false, flag = false, cross = false;
            double heading = -1;
            bool dark() const { return cross || !lit; }
        } face[2];
        double standby = -1;
        bool alt_flag = false;
        double alt_off_ft = 0, standby_off_ft = 0; ///< against the elevation of the stand
        bool moving = false;
    };

    void consider();
    void act(const job::Prompt& prompt);
    void press(const std::string& answer, const json::Value& extra = {});
    void press_after(double job_seconds, const std::string& answer, const json::Value& extra = {});
    void after(double job_seconds, Then then);
    void hand(const json::Value& move, Then then = {});
    void eye(std::initializer_list<std::pair<const char*, json::Value>> ask, Seen seen);
    void look(const job::Prompt& prompt, Seen seen);
    void sample();

    void answer_choice(const job::Prompt& prompt);
    void answer_number(const job::Prompt& prompt);
    void answer_look(const job::Prompt& prompt, const std::string& check);
    void last_look(std::size_t at);
    void displays_normal();
    void side_by_side();
    void altimeters();
    void heater_flag();
    void windings();
    void move_50();
    void cross_seconds(int patience);
    void with_load(const char* what, const job::Prompt& prompt);
    void meter(const job::Prompt& prompt);
    void flex(const job::Prompt& prompt);
    void flex_next(std::vector<std::string> places, std::size_t at);
    void turn(const job::Prompt& prompt);
    void settle_and_sight(int patience);
    void sign(const job::Prompt& prompt);
    void part();
    void defer();
    void finding_told();
    void finish(const std::string& stuck);
    void on_problem(const Problem& what);
    std::string maybe_slip(const job::Prompt& prompt, std::string answer);
    std::vector<Sample> recent(double job_seconds) const;
    double error_of(const Sample& sample, int side, double reference) const;

    Desk& desk_;
    PracticeDriver& world_;
    RehearsalOptions options_;
    std::unique_ptr<Presser> own_presser_;
    Presser& presser_;
    SeededRandom random_;
    std::shared_ptr<const job::JobView> view_;
    job::Prompt prompt_;
    bool busy_ = false, over_ = false, forgotten_ = false, dwelt_ = false, told_ = false, flexing_ = false;
    int display_looks_ = 0;
    json::Value plates_;        ///< serial numbers as read on the parts before anything was changed
    std::map<std::string, int> tries_;
    std::deque<Sample> samples_;
    double dark_s_[2] = {0, 0};
    double power_on_at_ = -1, begin_clock_ = -1;
    QTimer sampler_, watchdog_;
    RehearsalResult result_;
    std::string last_problem_;
};

} // namespace chockside::desk
