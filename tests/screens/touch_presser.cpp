#include "touch_presser.h"

#include <QQuickItem>
#include <QTimer>

namespace chockside::screens {

namespace {

using Kind = job::Prompt::Kind;

constexpr int most_views = 20;

Touch tap(const QString& name) { return {Touch::Kind::tap, name, {}}; }
Touch type(const std::string& field, const json::Value& text) { return {Touch::Kind::type, QString::fromStdString("field:" + field), QString::fromStdString(text.as_text())}; }

bool numeric(const std::string& text)
{
    return !text.empty() && text.find_first_not_of("-0123456789.") == std::string::npos;
}

std::vector<Touch> digits(const std::string& text)
{
    std::vector<Touch> touches;
    for (char c : text) touches.push_back(tap(QString("pad:") + c));
    return touches;
}

std::vector<Touch> signature(const json::Value& extra)
{
    std::vector<Touch> touches{type("person", extra["person"])};
    for (const char* field : {"name", "certificate_kind", "certificate_number", "pin"}) touches.push_back(type(field, extra[field]));
    touches.push_back(type("pin_again", extra["pin"]));
    for (Touch& t : touches) t.if_shown = t.name != "field:person" && t.name != "field:pin";
    return touches;
}

std::vector<Touch> papers(const json::Value& extra)
{
    std::vector<Touch> touches;
    for (const char* side : {"off", "on"})
        for (const auto& [field, text] : extra[side].as_object()) touches.push_back(type(std::string(side) + "_" + field, text));
    return touches;
}

} // namespace

void TouchPresser::press(const job::Prompt& prompt, const std::string& answer, const json::Value& extra)
{
    // Lifted first: the picture before a step shows no pressed key.
    if (before) return fingers_.work({}, [this, prompt, answer, extra](const QString&) {
        before(prompt);
        begin(prompt, answer, extra);
    });
    begin(prompt, answer, extra);
}

void TouchPresser::begin(const job::Prompt& prompt, const std::string& answer, const json::Value& extra)
{
    std::vector<Touch> touches;
    switch (prompt.kind) {
    case Kind::choose: touches = {tap(QString::fromStdString("choice:" + answer))}; break;
    case Kind::number: touches = numeric(answer) ? digits(answer) : std::vector<Touch>{tap(QString::fromStdString("choice:" + answer))}; break;
    case Kind::swing_point:
        if (!fingers_.shown("pad:1")) touches.push_back(tap("side:pad"));
        for (const Touch& t : digits(extra["reference"].as_text())) touches.push_back(t);
        break;
    case Kind::sign: touches = signature(extra); break;
    case Kind::part: touches = papers(extra); break;
    case Kind::text:
        for (const auto& [field, text] : extra.as_object()) touches.push_back(type(field, text));
        break;
    default: break;
    }
    carry_out(prompt, std::move(touches));
}

void TouchPresser::carry_out(const job::Prompt& prompt, std::vector<Touch> touches)
{
    const bool outcome_key = prompt.kind == Kind::number && !touches.empty() && touches.front().name.startsWith("choice:");
    fingers_.work(std::move(touches), [this, prompt, outcome_key](const QString& why) {
        if (!why.isEmpty()) return stuck(why.toStdString());
        if (outcome_key) return;
        if (filled) filled(prompt);
        press_large(0);
    });
}

/// Where cautions do not fit the glass, the large key first leads through them, view by view.
void TouchPresser::press_large(int views)
{
    fingers_.work({tap("largeKey")}, [this, views](const QString& why) {
        if (!why.isEmpty()) return stuck(why.toStdString());
        if (fingers_.asked() != "Read its cautions first") return;
        if (views == most_views) return stuck("the cautions do not end");
        press_large(views + 1);
    });
}

void TouchPresser::flex_mark(const std::string& place)
{
    const std::string key = place.empty() ? moved_ : place;
    if (key.empty()) return;
    moved_ = place;
    fingers_.work({tap(QString::fromStdString("mark:" + key))}, [this, place](const QString& why) {
        if (!why.isEmpty()) stuck(why.toStdString());
        else if (marked) marked(place);
    });
}

} // namespace chockside::screens
