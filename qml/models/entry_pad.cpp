#include "entry_pad.h"

#include <QCoreApplication>

#include <algorithm>
#include <cmath>

namespace chockside::models {

namespace {

constexpr qsizetype longest = 8;
constexpr double unlimited = 1e8;

QString said(const char* text) { return QCoreApplication::translate("pad", text); }

QString plain(double value)
{
    QString text = QString::number(value, 'g', 6);
    return text.replace('-', QChar(0x2212));
}

} // namespace

bool EntryPad::press(const QString& key)
{
    const QString before = text_;
    if (key == "del") text_.chop(1);
    else if (key == "clear") text_.clear();
    else if (key == "-") text_ = text_.startsWith('-') ? text_.mid(1) : '-' + text_;
    else if (key == ".") { if (!text_.contains('.')) text_ += text_.isEmpty() || text_ == "-" ? "0." : "."; }
    else if (key.size() == 1 && key[0] >= '0' && key[0] <= '9') text_ += key;
    if (text_.size() > longest) text_ = before;
    return text_ != before;
}

std::optional<double> EntryPad::value() const
{
    bool good = false;
    const double v = text_.toDouble(&good);
    return good ? std::optional(v) : std::nullopt;
}

Verdict judge(const PromptValue& prompt, std::optional<double> value)
{
    if (!value || !prompt.has_limits) return {};
    const bool above = *value > prompt.high, below = *value < prompt.low;
    const double top = prompt.high < unlimited ? prompt.high : std::max(prompt.low * 2, 1.0);
    const double place = top > 0 ? std::clamp(*value / top * 0.24, 0.0, 1.0) : 0.0;
    if (above) return {said("above the limit"), "fail", std::max(place, 0.26)};
    if (below) return {said("below the limit"), "fail", place};
    return {said("within the limit"), "good", place};
}

QString limit_text(const PromptValue& prompt)
{
    if (!prompt.has_limits) return {};
    const QString unit = QChar(0x00A0) + prompt.unit;
    if (prompt.high >= unlimited) return said("At least %1").arg(plain(prompt.low) + unit);
    if (prompt.low == 0 || prompt.low <= -unlimited) return said("At most %1").arg(plain(prompt.high) + unit);
    return said("%1 to %2").arg(plain(prompt.low), plain(prompt.high) + unit);
}

} // namespace chockside::models
