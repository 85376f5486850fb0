#pragma once
// One contact of a tablet with the shop, step by step, and what it leaves for the next.

#include <core/sync/tablet.h>

#include <algorithm>
#include <deque>

namespace chockside::sync {

enum class Step { idle, enrol, nonce, session, heads, push, fill, pull, jobs, blob_ask, blob_make, blob_where, blob_send, blob_get };
const char* name_of(Step);

struct Tablet::Inside {
    TabletStore& store;
    Wire& wire;
    const Clock& clock;
    Random& random;
    TabletSettings settings;

    Known known = {};
    Head own = {};
    bool known_lost = false;             ///< a change whose outcome is unknown: read anew before anything else

    Step step = Step::idle;
    std::uint64_t id = 0, next_id = 1;   ///< of the request that is under way; 0: none
    std::optional<std::int64_t> due = {};///< boot clock
    std::int64_t not_before = 0;         ///< what a Retry-After asked for; a link that comes up does not shorten it, a person may
    int failures = 0;
    std::string reason = {};
    std::string halted = {};             ///< nothing at all is tried before a person says so
    std::string token = {};
    bool renewed = false;                ///< a session was made in this contact
    int gaps = 0;
    std::optional<std::int64_t> offset = {};
    std::int64_t asked_at = 0;

    Head there = {};                     ///< own head at the shop
    std::int64_t sent = 0;
    Range batch = {};
    struct Batch {
        Range range = {};
        std::string body = {}, digest = {};
        bool unlocked = false;
    };
    std::optional<Batch> ahead = {};     ///< what is pushed next, where all goes well
    std::vector<Range> lacks = {};
    std::int64_t lacking = 0;
    std::deque<Place> places = {};       ///< to pull from
    std::size_t pull_lines = limits::batch_entries; ///< asked for at once: less after a cut, more again after what came through
    std::size_t get_bytes = settings.range;         ///< of an attachment, in the same way
    bool jobs_due = false;
    bool held_back = false;              ///< the shop has entries whose bodies it waits for: ask again, though its log does not grow by them
    std::string jobs_after = {};
    std::int64_t size_now = 0, pulled_size = -1; ///< of the shop's log in this contact, and when everything was last taken in
    std::deque<Blob> blobs = {};
    std::deque<std::string> wanted = {};
    std::set<std::string> blobs_failed = {}; ///< not to be had from the shop: not again in this run
    std::map<std::string, std::string> kept_here = {}; ///< attachments that stay here, and why: not again in this run
    /// Attachments of one way that wait while entries go on.
    struct PutOff {
        std::int64_t floor = 0, until = 0; ///< boot clock; below the floor, which a Retry-After set, a link that comes up brings no try
        int failures = 0;
        std::string why = {};              ///< empty: nothing is put off
    };
    PutOff up = {}, down = {};
    bool blobs_looked = false;
    int blob_tries = 0;
    std::int64_t blob_offset = 0;
    std::string part_of = {};            ///< the file that blob_bytes begin
    Bytes blob_bytes = {};
    bool blob_here = false;              ///< all of it; it could not be kept yet
    bool blob_whole = false;             ///< no range of it could be had: asked for as one piece
    std::string absent = {};             ///< the last file that was not at the shop; the next look begins behind it

    // Time.
    std::int64_t now() const { return clock.now().mono_ms; }
    std::int64_t below(std::int64_t ms);
    std::int64_t most_wait(int tries) const { return std::min(settings.retry_most_ms, settings.retry_first_ms << std::min(tries, 20)); }
    void wait(std::int64_t at_most_ms);
    /// A try that came to nothing: full jitter.
    void failed(std::string why, std::int64_t at_least_ms = 0);
    void progress() { failures = 0; }
    /// The same for attachments: the contact goes on without them.
    void put_off(PutOff&, std::string why, std::int64_t at_least_ms = 0);
    PutOff& way() { return step == Step::blob_get ? down : up; }
    bool waits(const PutOff& p) const { return now() < p.until; }
    /// Nothing more in this contact.
    void rest();
    void stop(std::string why);

    void ask_less();
    void ask_more();

    // Requests.
    void send(Step, Request, std::size_t most = limits::message);
    Request get(std::string target) const;
    void contact();
    void next();
    bool renew_known();
    void ask_nonce();
    void ask_heads();
    bool ask_push();
    bool ask_fill();
    bool push_lines(Step, std::int64_t after, std::int64_t upto);
    Result<Batch> make_batch(Step, std::int64_t after, std::int64_t upto);
    bool ask_pull();
    void ask_jobs();
    bool look_for_blobs();
    std::vector<std::string> in_turn(std::vector<std::string> missing) const;
    bool ask_blob();
    void make_upload();
    void keep_here(std::string why);
    void send_chunk();
    bool ask_wanted();
    void keep_wanted();

    // Answers.
    void take(const Answer&);
    void refused(const Answer&);
    void enrolled(const Answer&);
    void got_nonce(const Answer&);
    void got_session(const Answer&);
    void got_heads(const Answer&);
    void pushed(const Answer&);
    void push_refused(const Answer&, const Refusal&);
    void pulled(const Answer&);
    void got_jobs(const Answer&);
    void blob_asked(const Answer&);
    void blob_made(const Answer&);
    void blob_where(const Answer&);
    void blob_sent(const Answer&);
    void blob_got(const Answer&);
    void blob_left(const char* why);
    void blob_over();

    /// A change of the store, and of what is known here. False: the contact is over, the store is asked anew.
    bool keep(const Change&);
    void note(const Change&);
    bool keep_receipt(const std::optional<Receipt>&);
    bool receipt_good(const Receipt&);
    bool head_fits(const Head&);
    bool head_good(const SignedHead&, const char* what);
    std::map<std::string, SignedHead> heads_good = {}; ///< the last of each kind that verified: the same again is good
    Status lines_good(const PullAnswer&, const Position& before) const;
};

} // namespace chockside::sync
