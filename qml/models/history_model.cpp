#include "history_model.h"

#include "rows_of.h"
#include "words.h"

#include <core/codec/signal_name.h>
#include <platform/words/words.h>

#include <algorithm>
#include <cmath>

namespace chockside::models {

using Do = trend::Ask::Do;

namespace {

constexpr std::int64_t ms = 1'000'000;

QString clock(std::int64_t t_ns, bool thousandths)
{
    const QString seconds = clock_hms(t_ns / ms);
    return (thousandths ? seconds + '.' + QString::number(t_ns / ms % 1000).rightJustified(3, '0') : seconds) + 'Z';
}

/// Four or five figures, without noughts at the end; very large and very small ones by powers of ten.
QString figure_of(double v)
{
    const double size = std::fabs(v);
    if (size >= 1e7) return prose(QString::number(v, 'g', 5).toStdString());
    QString text = QString::number(v, 'f', size >= 1000 ? 0 : size >= 100 ? 1 : size >= 1 ? 2 : 3);
    while (text.contains('.') && (text.endsWith('0') || text.endsWith('.'))) text.chop(1);
    return text == "-0" ? QString("0") : prose(text.toStdString());
}

} // namespace

bool HistoryModel::tells_of_drops(const std::string& signal)
{
    for (const char* part : {"flag", "valid", "sensor", "wire"})
        if (signal.find(part) != std::string::npos) return true;
    return false;
}

HistoryModel::HistoryModel(QObject* parent) : QObject(parent), known_({"id", "label_text", "unit", "shown"}, "id") {}

QString HistoryModel::label_of(const std::string& signal)
{
    return upper_first(QString::fromStdString(codec::words_of(signal)));
}

QString HistoryModel::value_of(const trend::Sample& sample, const std::string& unit, bool boolean)
{
    if (!sample.good()) return QString::fromLatin1(codec::name_of(sample.validity)).replace('_', ' ');
    if (boolean) return sample.value != 0 ? tr("yes") : tr("no");
    const QString figure = figure_of(sample.value), sign = unit_sign(unit);
    return sign.isEmpty() ? figure : sign == QString(QChar(0x00B0)) ? figure + sign : figure + QChar(0x00A0) + sign;
}

void HistoryModel::set_seen(std::shared_ptr<const trend::Seen> seen)
{
    const bool answers = seen->answered != Do::look;
    seen_ = std::move(seen);
    if (answers) waiting_ = std::max(0, waiting_ - 1);
    if (seen_->answered == Do::later || seen_->answered == Do::earlier) {
        searching_ = false;
        show();
    }
    if (lanes_.empty()) choose_first_lanes();
    known_.set_rows(rows_of(seen_->known, [this](const trend::Seen::Signal& s) {
        return QVariantMap{{"id", words(s.name)}, {"label_text", label_of(s.name)}, {"unit", unit_sign(s.unit)}, {"shown", std::ranges::find(lanes_, s.name) != lanes_.end()}};
    }));
    if (waiting_ == 0 && dragged_ != 0) {
        ask(dragged_ < 0 ? Do::back : Do::forth, std::fabs(dragged_));
        dragged_ = 0;
    }
    emit changed();
    emit seen_changed();
}

/// Two angles or other values and two states that tell of drop-outs; words of a bus before the rest, as the profile has them.
void HistoryModel::choose_first_lanes()
{
    std::vector<std::string> values, states;
    for (const bool words_first : {true, false})
        for (const auto& s : seen_->known) {
            if (s.name.starts_with("word.") != words_first || s.name.ends_with("uptime")) continue;
            if (!s.boolean && !s.unit.empty() && values.size() < 2) values.push_back(s.name);
            if (s.boolean && tells_of_drops(s.name) && states.size() < 2) states.push_back(s.name);
        }
    values.insert(values.end(), states.begin(), states.end());
    if (!values.empty()) set_lanes(std::move(values));
}

void HistoryModel::set_lanes(std::vector<std::string> lanes)
{
    lanes_ = std::move(lanes);
    if (std::ranges::find(lanes_, searched_) == lanes_.end()) searched_ = lanes_.front();
    ask(Do::look);
}

void HistoryModel::refuse(const QString& why)
{
    if (!open_) return;
    searching_ = false;
    waiting_ = 0;
    answer_ = why;
    answer_mark_ = "attn";
    emit changed();
}

void HistoryModel::set_saved(const QString& path)
{
    answer_ = tr("Saved: %1").arg(path);
    answer_mark_ = "good";
    emit changed();
}

void HistoryModel::forget()
{
    seen_.reset();
    lanes_.clear();
    searched_.clear();
    answer_.clear();
    answer_mark_.clear();
    dragged_ = 0;
    waiting_ = 0;
    searching_ = false;
    known_.set_rows({});
    emit changed();
    emit seen_changed();
}

void HistoryModel::resume()
{
    if (!open_) return;
    ask(Do::look);
    emit watch_asked(true);
}

QString HistoryModel::span() const
{
    if (!any()) return {};
    const auto& w = seen_->window;
    const std::int64_t width = w.to_ns - w.from_ns;
    const bool fine = width < 20'000 * ms;
    const QString days = seen_->all->to_ns - seen_->all->from_ns > 86'400'000 * ms ? day_month(w.from_ns / ms) + ' ' : QString();
    const QString span = width >= 120'000 * ms ? span_text(width / ms) : QString::number(static_cast<double>(width) / 1e9, 'g', 3) + QChar(0x00A0) + 's';
    return days + tr("%1 to %2, %3").arg(clock(w.from_ns, fine), clock(w.to_ns, fine), span);
}

QString HistoryModel::state_mark() const
{
    if (!seen_) return "run";
    if (!seen_->trouble.empty() || seen_->damaged) return "attn";
    return seen_->taken_in < 1 ? "run" : !any() || held() ? "" : "good";
}

QString HistoryModel::state_word() const
{
    if (!seen_) return tr("Is being read");
    if (seen_->taken_in < 1) return tr("%1% read").arg(std::lround(seen_->taken_in * 100));
    if (!seen_->trouble.empty()) return tr("A capture can't be read: %1").arg(words(chockside::words::of({seen_->trouble, {}, {}}).message));
    if (seen_->damaged) return tr("A part can't be read");
    if (!any()) return tr("Nothing was heard yet");
    if (seen_->left_out > 0 && !held()) return tr("Follows the line; the oldest %1 captures are left out").arg(seen_->left_out);
    return held() ? tr("Frozen at %1").arg(clock(seen_->frozen_at_ns, false)) : tr("Follows the line");
}

void HistoryModel::set_kind(const QString& kind)
{
    if (kind == kind_) return;
    kind_ = kind;
    limit_.clear();
    emit changed();
}

void HistoryModel::set_limit(const QString& limit)
{
    if (limit == limit_) return;
    limit_ = limit;
    emit changed();
}

QString HistoryModel::limit_title() const
{
    if (kind_ == "missing") return tr("Seconds");
    if (kind_ != "above" && kind_ != "below") return {};
    if (seen_)
        for (const auto& s : seen_->known)
            if (s.name == searched_ && !s.unit.empty()) return tr("Limit, %1").arg(unit_sign(s.unit));
    return tr("Limit");
}

QString HistoryModel::why_still() const { return any() ? QString() : seen_ ? tr("Nothing was heard yet") : tr("It is being read"); }

QString HistoryModel::missing() const
{
    if (!any()) return why_still();
    if (searching_) return tr("It is searching");
    if (searched_.empty()) return tr("Tap a trace first");
    return limit_title().isEmpty() || !limit_.trimmed().isEmpty() ? QString() : tr("Type a number first: %1").arg(lower_first(limit_title()));
}

QString HistoryModel::answer_mark() const { return searching_ ? QStringLiteral("run") : answer_mark_; }
QString HistoryModel::answer() const { return searching_ ? tr("Looking through %1").arg(searched_label()) : answer_; }

/// The question stands in the answer: what was asked may have been changed on the screen since.
void HistoryModel::show()
{
    if (!seen_->refused.code.empty()) {
        answer_ = words(chockside::words::line(seen_->refused));
        answer_mark_ = "attn";
    } else if (seen_->none || !seen_->match) {
        answer_ = (seen_->answered == Do::earlier ? tr("%1: none earlier.") : tr("%1: none later.")).arg(question_);
        if (seen_->damaged) answer_ += ' ' + tr("A part could not be read.");
        answer_mark_ = seen_->damaged ? "attn" : "";
    } else {
        const auto& m = *seen_->match;
        answer_ = m.until_ns > m.at.t_ns ? tr("%1: from %2 on, for %3 s.").arg(question_, clock(m.at.t_ns, true)).arg(static_cast<double>(m.until_ns - m.at.t_ns) / 1e9, 0, 'f', 3)
                                     : tr("%1: %2, %3.").arg(question_, clock(m.at.t_ns, true), value_of(m.at, m.unit, m.boolean));
        answer_mark_.clear();
    }
}

QString HistoryModel::limit_text() const
{
    const QString n = prose(limit_.trimmed().toStdString());
    if (kind_ == "above") return tr("above %1").arg(n);
    if (kind_ == "below") return tr("below %1").arg(n);
    if (kind_ == "changes") return tr("changes");
    if (kind_ == "missing") return tr("silent for more than %1 s").arg(n);
    return tr("not valid");
}

void HistoryModel::set_open(bool open)
{
    if (open_ == open) return;
    open_ = open;
    waiting_ = 0;
    searching_ = false;
    if (open) ask(Do::look);
    emit watch_asked(open);
}

void HistoryModel::set_columns(int columns)
{
    if (columns < 8 || columns == columns_) return;
    columns_ = columns;
    if (open_) ask(Do::look);
}

void HistoryModel::ask(Do what, double share)
{
    trend::Ask q;
    q.what = what;
    q.share = share;
    q.lanes = lanes_;
    q.columns = columns_;
    if (what != Do::look) ++waiting_;
    emit asked(q);
}

void HistoryModel::drag(double share)
{
    dragged_ += share;
    if (waiting_ > 0 || dragged_ == 0) return;
    const double by = std::exchange(dragged_, 0.0);
    ask(by < 0 ? Do::back : Do::forth, std::fabs(by));
}

void HistoryModel::go(double share)
{
    if (waiting_ == 0) ask(Do::go, share);
}

void HistoryModel::toggle(const QString& id)
{
    const std::string name = id.toStdString();
    auto lanes = lanes_;
    if (const auto at = std::ranges::find(lanes, name); at != lanes.end()) {
        if (lanes.size() == 1) return;
        lanes.erase(at);
    } else {
        if (lanes.size() == most_lanes) lanes.erase(lanes.begin());
        lanes.push_back(name);
        searched_ = name;
    }
    set_lanes(std::move(lanes));
}

void HistoryModel::search_in(int lane)
{
    if (lane < 0 || static_cast<std::size_t>(lane) >= lanes_.size() || lanes_[static_cast<std::size_t>(lane)] == searched_) return;
    searched_ = lanes_[static_cast<std::size_t>(lane)];
    emit changed();
}

void HistoryModel::search(Do way)
{
    if (!missing().isEmpty()) return;
    trend::Ask q;
    q.what = way;
    q.lanes = lanes_;
    q.columns = columns_;
    q.searched = searched_;
    q.wanted = kind_.toStdString();
    if (!limit_title().isEmpty()) q.wanted += ' ' + limit_.trimmed().toStdString();
    question_ = searched_label() + ' ' + limit_text();
    ++waiting_;
    searching_ = true;
    emit changed();
    emit asked(q);
}

} // namespace chockside::models
