#pragma once
// Carries out by touch what the practice technician decided: keys, number pad, forms and marks, as they are shown.

#include "fingers.h"

#include <platform/desk/presser.h>

#include <QString>

namespace chockside::screens {

class TouchPresser final : public desk::Presser {
public:
    explicit TouchPresser(Fingers& fingers) : fingers_(fingers) {}
    void press(const job::Prompt& prompt, const std::string& answer, const json::Value& extra) override;
    void flex_mark(const std::string& place) override;

    /// Before the first touch of a prompt, and when the form or pad is filled and only the large key is left.
    std::function<void(const job::Prompt&)> before, filled;
    std::function<void(const std::string&)> marked;

private:
    void begin(const job::Prompt& prompt, const std::string& answer, const json::Value& extra);
    void carry_out(const job::Prompt& prompt, std::vector<Touch> touches);
    void press_large(int views);

    Fingers& fingers_;
    std::string moved_;
};

} // namespace chockside::screens
