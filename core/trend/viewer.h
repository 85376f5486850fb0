#pragma once
// Earlier readings as a person looks through them: a few lanes over a window of time, moved, widened, held, and searched both ways. Asks go
// in, one whole answer comes out, so that asking and answering can live on different threads.

#include <core/trend/view.h>

namespace chockside::trend {

struct Ask {
    enum class Do : std::uint8_t {
        look,    ///< as it stands
        back,    ///< by `share` of the window, towards earlier
        forth,
        closer,  ///< half as wide, about `share` of the window
        wider,
        all,     ///< everything there is
        hold,    ///< what comes from now on is not shown
        follow,  ///< the newest stays in the window
        go,      ///< the middle of the window to `share` of everything
        later,   ///< the next match of `wanted` in `searched`, from the last match on where it is in the window
        earlier,
    };
    Do what = Do::look;
    double share = 0.5;
    std::vector<std::string> lanes; ///< names of signals, in order; none: as before
    std::string searched, wanted;   ///< a signal's name; what read_wanted() reads
    int columns = 0;                ///< of each lane, 1-100 000; 0: as before
};

struct Lane {
    std::string name, unit;
    bool boolean = false;
    TrendView::Plot plot;
};

struct Match {
    std::string name, unit;
    Sample at;
    std::int64_t until_ns = 0; ///< a silence: when it ended
    bool boolean = false;
};

/// What is seen after an ask.
struct Seen {
    struct Signal {
        std::string name, unit;
        bool boolean = false;
        std::uint64_t count = 0;
    };
    std::vector<Signal> known; ///< those with samples, in the profile's order
    std::vector<Lane> lanes;
    TrendView::Window window;
    std::int64_t frozen_at_ns = 0; ///< while it is: the newest sample shown
    std::optional<Trend::Range> all; ///< nothing: no sample yet
    std::optional<Match> match;      ///< of the last search
    Ask::Do answered = Ask::Do::look;
    bool none = false;               ///< the search that this answers found nothing that way
    Problem refused;                 ///< code empty: done as asked
    bool damaged = false;            ///< a part of what is shown, or was searched, can't be read
    double taken_in = 1;             ///< share of the captures that was read so far
    std::size_t left_out = 0;        ///< captures at the beginning that are not read here
    std::string trouble;             ///< code of what stands in the way of a capture; the others are shown
};

/// One thread. The Trend must outlive it.
class Viewer {
public:
    explicit Viewer(const Trend& trend) : trend_(trend), view_(trend) {}

    Seen answer(const Ask&);
    /// Samples were added: all is shown until somebody chose a window, then the newest is followed until it is held.
    void grew();

private:
    void move(const Ask&);
    void search(const Ask&, Seen&);
    std::int64_t search_from(bool earlier) const;
    Seen look(Ask::Do) const;

    const Trend& trend_;
    TrendView view_;
    std::vector<SeriesId> lanes_;
    std::optional<Match> match_;
    std::string wanted_; ///< of the last search
    int columns_ = 400;
    bool whole_ = true;
};

} // namespace chockside::trend
