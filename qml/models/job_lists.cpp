#include "job_lists.h"
#include "job_rows.h"

#include <algorithm>

namespace chockside::models {

void JobLists::set_view(const job::JobView& v)
{
    rail_.set_rows(rail_rows(v));
    const Rows journal = journal_rows(v);
    journal_.set_rows(journal);
    recent_.set_rows(journal.mid(std::max<qsizetype>(0, journal.size() - 6)));
    open_.set_rows(open_rows(v.open));
    disputes_.set_rows(dispute_rows(v));
    left_.set_rows(left_rows(v.open));
    readings_.set_rows(reading_rows(v));
    put_back_.set_rows(open_rows(v.closed_items));
    waits_.set_rows(wait_rows(v));
    buses_.set_rows(bus_rows(v));
    places_.set_rows(place_rows(v));
    evidence_.set_rows(evidence_rows(v));
    earlier_.set_rows(earlier_rows(v));
    unexplained_.set_rows(unexplained_rows(v));
    would_change_.set_rows(would_change_rows(v));
    checks_.set_rows(check_rows(v));
    gates_.set_rows(gate_rows(v));
    saved_.set_rows(saved_rows(v));
    faults_.set_rows(fault_rows(v));
    sources_.set_rows(source_rows(v));
    live_.set_rows(live_rows(v));
    owed_.set_rows(owed_rows(v));
    acts_.set_rows(act_rows(v));
    debrief_.set_rows(answer_rows(v.debrief));
    equipment_.set_rows(answer_rows(v.equipment));
    cautions_.set_rows(hazard_rows(v.cautions));
    hazards_.set_rows(hazard_rows(v.next.before));
    choices_.set_rows(choice_rows(v.next));
    others_.set_rows(other_rows(v));
}

} // namespace chockside::models
