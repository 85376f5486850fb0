#include "home_rows.h"

#include "words.h"

#include <set>

namespace chockside::app {

namespace {

/// What was written of it beside its stage, where that is of all its entries.
bool told(const journal::JobRow& row)
{
    return row.about.has("open") && row.about["entries"].as_int() == row.entries;
}

job::Stage stage_of(const journal::JobRow& row)
{
    return job::stage_of(row.status).value_or(job::Stage::write_up);
}

std::string state_words(const journal::JobRow& row)
{
    const bool closed = row.status == "closed";
    if (!told(row)) return closed ? "closed" : "stands in " + std::string(job::title_of(stage_of(row)));
    const auto open = static_cast<int>(row.about["open"].as_int()), breakers = static_cast<int>(row.about["breakers"].as_int());
    const auto count = [](int n) { return models::lower_first(models::counted(n)).toStdString(); };
    if (closed) return open == 0 ? "closed" : "closed, " + count(open) + (open == 1 ? " stays open" : " stay open");
    if (open == 0) return "nothing stands open";
    const std::string all = std::to_string(open) + " open";
    if (breakers == 0) return all;
    if (breakers == open) return open == 1 ? all + ", a breaker" : all + ", all breakers";
    return all + ", " + count(breakers) + (breakers == 1 ? " of them a breaker" : " of them breakers");
}

/// "23 min ago"; from two days on the day.
std::string ago(std::int64_t utc_ms, std::int64_t now_utc_ms)
{
    constexpr std::int64_t two_days_ms = 2LL * 24 * 3600 * 1000;
    if (now_utc_ms - utc_ms >= two_days_ms) return models::day_month(utc_ms).toStdString();
    return now_utc_ms - utc_ms < 60'000 ? "just now" : models::span_text(now_utc_ms - utc_ms).toStdString() + " ago";
}

std::string where_words(const journal::JobRow& row, std::int64_t now_utc_ms)
{
    if (row.status == "closed") return ago(row.changed_utc_ms, now_utc_ms);
    if (!told(row)) return "left " + ago(row.changed_utc_ms, now_utc_ms); // its stage is its state
    return "in " + std::string(job::title_of(stage_of(row))) + ", left " + ago(row.changed_utc_ms, now_utc_ms);
}

std::string note_words(const journal::JobRow& row, std::int64_t now_utc_ms)
{
    const std::int64_t leaves = row.about.has("leaves") ? row.about["leaves"].as_int() : 0;
    if (row.status == "closed" || leaves <= now_utc_ms) return row.practice ? "practice" : "";
    return (row.practice ? "practice, leaves " : "leaves ") + models::clock_hm(leaves).toStdString() + " Z, in " + models::span_text(leaves - now_utc_ms).toStdString();
}

std::vector<job::StageCell> rail_of(const journal::JobRow& row)
{
    std::vector<job::StageCell> rail;
    const bool closed = row.status == "closed";
    const auto now = stage_of(row);
    std::set<std::int64_t> gaps;
    if (told(row))
        for (const auto& stage : row.about["gaps"].as_array()) gaps.insert(stage.as_int());
    for (int i = 0; i < job::stage_count; ++i) {
        job::StageCell cell;
        cell.stage = static_cast<job::Stage>(i);
        cell.here = !closed && cell.stage == now;
        cell.filled = closed || cell.stage < now ? 1 : 0;
        cell.line = cell.here ? job::StageCell::Line::here : cell.filled > 0 ? job::StageCell::Line::solid : job::StageCell::Line::hollow;
        cell.open = static_cast<int>(gaps.count(i));
        rail.push_back(cell);
    }
    return rail;
}

} // namespace

std::vector<models::HomeRow> home_rows(const std::vector<journal::JobRow>& rows, std::int64_t now_utc_ms)
{
    std::vector<models::HomeRow> home;
    bool first = true;
    for (const auto& row : rows) {
        models::HomeRow h;
        h.job = row.job;
        h.tail = row.tail;
        h.complaint = row.title;
        h.state = state_words(row);
        const bool some_open = told(row) && row.about["open"].as_int() > 0;
        h.mark = some_open ? job::Mark::open : row.status == "closed" ? job::Mark::good : job::Mark::none;
        h.note = note_words(row, now_utc_ms);
        h.where = where_words(row, now_utc_ms);
        h.rail = rail_of(row);
        h.entries = row.entries;
        h.mine = first && row.status != "closed";
        first = first && !h.mine;
        home.push_back(std::move(h));
    }
    return home;
}

} // namespace chockside::app
