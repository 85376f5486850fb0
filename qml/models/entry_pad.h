#pragma once
// What is typed on the number pad and how it stands against the limit, before anything is written.

#include "prompt_value.h"

#include <QString>

#include <optional>

namespace chockside::models {

class EntryPad {
public:
    /// Digits, one point, a leading minus ("-" toggles it), "del", "clear"; at most 8 characters. True where the text changed.
    bool press(const QString& key);
    void clear() { text_.clear(); }
    const QString& text() const { return text_; }
    std::optional<double> value() const;

private:
    QString text_;
};

struct Verdict {
    QString words;  ///< "within the limit", "above the limit", "below the limit" or empty
    QString mark;   ///< good, fail or empty
    double place = 0; ///< 0..1 on the limit line, where 0.24 and up is beyond a highest limit
};

Verdict judge(const PromptValue& prompt, std::optional<double> value);
/// "At most 1.20 Ω" (from zero, or from anything), "At least 20 MΩ", "90 to 102 Ω", "−50 to 100 ft" or empty.
QString limit_text(const PromptValue& prompt);

} // namespace chockside::models
