#include "practice_model.h"
#include "words.h"

namespace chockside::models {

namespace {

QString text_of(const json::Value& v)
{
    switch (v.kind()) {
    case json::Kind::boolean: return v.as_bool() ? QStringLiteral("yes") : QStringLiteral("no");
    case json::Kind::integer: return QString::number(v.as_int());
    case json::Kind::real: return QString::number(v.as_double(), 'g', 5);
    case json::Kind::text: return words(v.as_text());
    default: return {};
    }
}

void lines(const QString& path, const json::Value& v, QStringList& into)
{
    if (v.is_object())
        for (const auto& [key, member] : v.as_object()) lines(path.isEmpty() ? words(key) : path + ", " + words(key), member, into);
    else if (v.is_array())
        for (const json::Value& item : v.as_array()) lines(path, item, into);
    else if (const QString text = text_of(v); !text.isEmpty())
        into.append(path + ": " + QString(text).replace('_', ' '));
}

QString move_words(const json::Value& m)
{
    QStringList parts;
    for (const char* key : {"label", "what", "place", "display"})
        if (m.has(key)) parts.append(text_of(m[key]));
    if (parts.isEmpty()) parts.append(text_of(m["hand"]));
    for (const char* key : {"to", "source", "to_deg", "metres"})
        if (m.has(key)) parts.append(text_of(m[key]));
    return parts.join(' ');
}

} // namespace

PracticeModel::PracticeModel(QObject* parent) : QObject(parent), hands_({"id", "verb", "text"}, "id") {}

void PracticeModel::set_hands(const std::vector<json::Value>& moves)
{
    moves_ = moves;
    QList<QVariantMap> rows;
    for (const json::Value& m : moves) rows.append({{"id", words(json::write(m))}, {"verb", text_of(m["hand"])}, {"text", move_words(m)}});
    hands_.set_rows(rows);
}

void PracticeModel::set_seen(const json::Value& all)
{
    QStringList seen;
    lines({}, all, seen);
    if (seen == seen_) return;
    seen_ = seen;
    emit seen_changed();
}

void PracticeModel::set_coupled(bool coupled)
{
    if (coupled == coupled_) return;
    coupled_ = coupled;
    emit coupled_changed();
}

void PracticeModel::act(int row)
{
    if (row >= 0 && row < int(moves_.size())) emit hand_asked(moves_[std::size_t(row)]);
}

} // namespace chockside::models
