#include "job_rows.h"
#include "rows_of.h"
#include "words.h"

namespace chockside::models {

Rows owed_rows(const job::JobView& v)
{
    return rows_of(v.owed, [](const job::OwedLine& o) {
        return QVariantMap{{"id", words(o.id)}, {"title", words(o.title)}, {"rule", words(o.rule)}, {"who", words(o.who)}, {"word", words(o.word)},
                           {"mark", mark_name(o.mark)}, {"minutes", o.minutes > 0 ? QString::number(qRound(o.minutes)) : QString()}};
    });
}

Rows act_rows(const job::JobView& v)
{
    return rows_of(v.acts, [](const job::ActLine& a) {
        return QVariantMap{{"id", words(a.id)}, {"title", words(a.title)}, {"person", words(a.person)}, {"certificate", words(a.certificate)},
                           {"word", words(a.word)}, {"mark", mark_name(a.mark)}};
    });
}

Rows answer_rows(const std::vector<job::AnswerLine>& answers)
{
    return rows_of(answers, [](const job::AnswerLine& a) {
        return QVariantMap{{"check", words(a.check)}, {"title", words(a.title)}, {"words", prose(a.words)}};
    });
}

Rows hazard_rows(const std::vector<job::HazardLine>& hazards)
{
    return rows_of(hazards, [](const job::HazardLine& h) { return QVariantMap{{"word", words(h.word)}, {"says", words(h.says)}}; });
}

Rows choice_rows(const job::Prompt& prompt)
{
    return rows_of(prompt.choices, [](const auto& c) { return QVariantMap{{"id", words(c.first)}, {"words", upper_first(words(c.second))}}; });
}

QString other_row(const job::Prompt& other)
{
    return words(other.toward.empty() ? other.id : "check:" + other.toward);
}

Rows other_rows(const job::JobView& v)
{
    return rows_of(v.others, [](const job::Prompt& q) {
        return QVariantMap{{"id", other_row(q)}, {"title", words(q.detail.empty() ? q.say : q.detail)}, {"say", words(q.say)}};
    });
}

QVariantMap part_row(const job::PartPaper& p)
{
    return {{"title", words(p.title)}, {"part", words(p.part)}, {"serial", words(p.serial)}, {"tag", words(p.tag)}, {"certificate", words(p.certificate)},
            {"reason", words(p.reason)}, {"filled", p.filled}};
}

QVariantList swing_points(const job::SwingView& s)
{
    QVariantList out;
    for (const auto& p : s.points) out.append(QVariantMap{{"heading", p.reference_deg}, {"deviation", p.deviation_deg}, {"outlier", p.outlier}});
    return out;
}

QVariantList swing_band(const job::SwingView& s)
{
    QVariantList out;
    for (const auto& b : s.band) out.append(QVariantMap{{"heading", b[0]}, {"value", b[1]}, {"lower", b[2]}, {"upper", b[3]}});
    return out;
}

QVariantList swing_terms(const job::SwingView& s)
{
    QVariantList out;
    for (const auto& [name, value] : s.terms)
        out.append(QVariantMap{{"name", words(name)}, {"value", signed_number(value.first, 2)}, {"error", QStringLiteral("±") + QString::number(value.second, 'f', 2)}});
    return out;
}

QVariantList swing_card(const job::SwingView& s)
{
    QVariantList out;
    for (const auto& [target, steer] : s.card) out.append(QVariantMap{{"target", heading(target)}, {"steer", heading(steer)}});
    return out;
}

} // namespace chockside::models
