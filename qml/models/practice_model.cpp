#include "practice_model.h"
#include "words.h"

#include <QHash>

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

/// The practice aircraft's own names are words but for their joins.
QString plain(const std::string& name)
{
    return words(name).replace('_', ' ');
}

/// What is so in a few words: a lit flag by its name, an unlit one not at all.
QString glance(const std::string& name, const json::Value& v)
{
    if (v.kind() == json::Kind::boolean) return v.as_bool() ? plain(name) : QString();
    const QString text = text_of(v).replace('_', ' ');
    const bool bare = name == "is" || name == "answer" || name == "value" || name == "text";
    return text.isEmpty() || bare ? text : plain(name) + ' ' + text;
}

void lines(const QString& path, const json::Value& v, QStringList& into)
{
    if (!v.is_object() && !v.is_array()) {
        if (const QString text = glance("is", v); !text.isEmpty()) into.append(path + ": " + text);
        return;
    }
    QStringList parts;
    for (const auto& [key, member] : v.as_object()) {
        if (member.is_object() || member.is_array()) lines(path + ", " + plain(key), member, into);
        else if (const QString text = glance(key, member); !text.isEmpty()) parts.append(text);
    }
    for (const json::Value& item : v.as_array()) parts.append(glance("is", item));
    if (!parts.isEmpty()) into.append(path + ": " + parts.join(", "));
}

QString move_words(const json::Value& m)
{
    static const QHash<QString, QString> verbs{{"flex", "Move"}, {"power", "Ground power"}, {"cable", "Test cable"}, {"move", "Push away,"}};
    QStringList parts;
    if (const QString verb = verbs.value(text_of(m["hand"])); !verb.isEmpty()) parts.append(verb);
    for (const char* key : {"label", "what", "place", "display"})
        if (m.has(key)) parts.append(text_of(m[key]));
    if (parts.isEmpty()) parts.append(text_of(m["hand"]));
    for (const char* key : {"to", "source", "to_deg", "metres"})
        if (m.has(key)) parts.append(text_of(m[key]));
    return parts.join(' ').replace('_', ' ');
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
    for (const auto& [what, is] : all.as_object()) lines(plain(what), is, seen);
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
