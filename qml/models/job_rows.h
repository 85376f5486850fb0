#pragma once
// The lists of a job's view as rows for RowsModel. Pure functions of the view.

#include <core/job/view.h>

#include <QList>
#include <QStringList>
#include <QVariantMap>

namespace chockside::models {

using Rows = QList<QVariantMap>;

Rows rail_rows(const job::JobView&);
Rows journal_rows(const job::JobView&);
Rows open_rows(const std::vector<job::OpenItem>&);
/// What to go and look at on return: breakers, plugs and covers one by one, the rest together.
Rows left_rows(const std::vector<job::OpenItem>&);
/// The few live figures of a swing: angles first, then volts; four at most, none raw.
Rows reading_rows(const job::JobView&);
Rows wait_rows(const job::JobView&);
Rows bus_rows(const job::JobView&);
Rows place_rows(const job::JobView&);
Rows evidence_rows(const job::JobView&);
Rows earlier_rows(const job::JobView&);
Rows unexplained_rows(const job::JobView&);
Rows would_change_rows(const job::JobView&);
Rows check_rows(const job::JobView&);
Rows gate_rows(const job::JobView&);
Rows saved_rows(const job::JobView&);
Rows fault_rows(const job::JobView&);
Rows source_rows(const job::JobView&);
Rows live_rows(const job::JobView&);
Rows owed_rows(const job::JobView&);
Rows act_rows(const job::JobView&);
Rows answer_rows(const std::vector<job::AnswerLine>&);
Rows hazard_rows(const std::vector<job::HazardLine>&);
Rows choice_rows(const job::Prompt&);
Rows other_rows(const job::JobView&);
Rows dispute_rows(const job::JobView&);
struct PictureSeen;
Rows picture_rows(const std::vector<PictureSeen>&);
/// The id of its row: two checks may wait for the same act.
QString other_row(const job::Prompt& other);
QVariantMap part_row(const job::PartPaper&);
QVariantList swing_points(const job::SwingView&);
QVariantList swing_band(const job::SwingView&);
QVariantList swing_terms(const job::SwingView&);
QVariantList swing_card(const job::SwingView&);

} // namespace chockside::models
