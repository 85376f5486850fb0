#pragma once
// Values into the text of the screens: one place, so that minus signs, spaces and clocks look the same everywhere.

#include <core/job/view.h>

#include <QString>

#include <cstdint>

namespace chockside::models {

QString words(const std::string& text);
/// "good", "fail", "attn", ... as the drawn marks are named.
QString mark_name(job::Mark mark);
QString line_name(job::StageCell::Line line);
/// "14:21" and "14:21:40" in UTC; empty for 0.
QString clock_hm(std::int64_t utc_ms);
/// "12 Nov" (UTC).
QString day_month(std::int64_t utc_ms);
QString clock_hms(std::int64_t utc_ms);
/// "14:21" in the tablet's own zone.
QString local_hm(std::int64_t utc_ms);
/// "5 h 39" or "18 min", never negative.
QString span_text(std::int64_t ms);
/// "06:34"; from one hour "1 h 13".
QString countdown(double seconds);
/// True minus, sign always, `digits` decimals: "+1.1".
QString signed_number(double value, int digits);
/// "000" to "359", rounded, 360 written 000.
QString heading(double degrees);
/// "80%", "7", "<1" of a likelihood 0..1; the percent sign only where `leading`.
QString likelihood(double p, bool leading);
/// "× 13", "÷ 1.5", "no help" of an evidence factor.
QString factor(double times);
/// Sign of a unit name: ohm gives Ω.
QString unit_sign(const std::string& unit);
/// Text with figures in it: a sign is a true minus, a hyphen (J1-7) stays one.
QString prose(const std::string& text);
/// "Water in P9" within a sentence: "water in P9"; a label such as "RMS-1" keeps its capitals.
QString lower_first(const QString& text);
QString upper_first(const QString& text);
/// "One" to "Nine", figures from ten; first letter large.
QString counted(int n);
/// "1 entry", "2 entries".
QString entries_of(int n);

} // namespace chockside::models
