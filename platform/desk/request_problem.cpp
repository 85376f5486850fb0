#include <platform/desk/request_problem.h>

namespace chockside::desk {

namespace {

Problem refused(const char* code, const std::string& step, const std::string& reason, const std::string& mend)
{
    return {code, step, {{"reason", reason.empty() ? "it gives no reason" : reason}, {"mend", mend}}};
}

} // namespace

Problem request_problem(const std::string& step, const json::Value& outcome)
{
    const std::string& result = outcome["result"].as_text();
    const std::string& reason = outcome["reason"].as_text();
    if (result == "refused") return refused("request_refused", step, reason, outcome["mend"].as_text());
    if (result == "timed_out" || reason.empty()) return {"request_timed_out", step, {}};
    // Never sent, or broken off: the reason is a code with words of its own.
    Problem why{reason, outcome["request"].as_text(), {}};
    if (outcome["args"].is_object())
        for (const auto& [name, value] : outcome["args"].as_object()) why.args.emplace_back(name, value.as_text());
    return why;
}

Problem session_problem(const std::string& step, const std::string& reason, const std::string& mend)
{
    if (reason == "no_answer") return {"request_timed_out", step, {}};
    return refused("session_refused", step, reason, mend);
}

} // namespace chockside::desk
