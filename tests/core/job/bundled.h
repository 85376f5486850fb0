#pragma once
// The bundled profiles, and a job on one of them that has come as far as its finding.

#include "small_work.h"

#include <core/job/build_view.h>
#include <core/job/isolate_model.h>
#include <core/job/plan.h>
#include <core/profile/load.h>

#include <fstream>
#include <sstream>

namespace chockside::tests {

inline constexpr const char* bundled_ids[] = {"sandgrouse_12_ramp", "sandgrouse_12_pru_2", "sandgrouse_12_pru_5", "sandgrouse_12_pru_7", "sandgrouse_12_pru_9"};

inline profile::Profile bundled(const std::string& id)
{
    const auto text = [](const std::string& name) {
        std::stringstream all;
        all << std::ifstream(CHOCKSIDE_SOURCE_DIR "/assets/profiles/" + name).rdbuf();
        return all.str();
    };
    const profile::FindHalf half = [&](const std::string& use, profile::Half which) -> Result<std::string> {
        return text(use + (which == profile::Half::unit ? ".unit.json" : ".installation.json"));
    };
    return profile::load(text(id + ".json"), half).profile;
}

class BundledWork : protected Work {
protected:
    job::Context now() const { return heard(); }

    /// Everything before the isolation is asked, every wait is over.
    void ready(const profile::Profile& p)
    {
        p_ = p;
        s_ = {};
        pen_ = {};
        write("opened", body({{"tail", "Q4-RMP"}, {"power", "on"}, {"complaint", "Both altimeters off"}, {"complaint_kind", p.installation.complaints.front().id}}));
        for (const auto& step : p.installation.steps)
            if (step.stage == "write_up" || step.stage == "as_found" || step.stage == "make_ready") write("did", body({{"verb", "look"}, {"step", step.id}}));
        for (const auto& check : p.installation.checks)
            if (check.stage == "write_up" || check.stage == "as_found" || check.stage == "make_ready")
                write("answer", body({{"check", check.id}, {"outcome", check.outcomes.empty() ? "" : check.outcomes.back()}, {"presence", "showing"}}));
        write("presence", body({{"is", "showing"}}));
        write("cautions_read");
        lit();
    }
    /// The unit has come up and every wait is over.
    void lit()
    {
        write("live.self_test_started");
        pen_.mono += 600'000;
        write("live.self_test_ended", body({{"passed", true}}));
        pen_.mono += 7'200'000;
        write("live.aligned");
    }
    void find(const std::string& cause) { write("finding", body({{"class", "x"}, {"cause", cause}, {"advice", "isolated"}, {"p", "0.9500"}})); }
    job::Prompt next() const { return job::next_prompt(p_, s_, now(), {}); }

    /// Answers the prompt as a technician on a sound aircraft would; "ok", or the guard's code.
    std::string press(const job::Prompt& q)
    {
        json::Value extra(json::Object{});
        if (q.kind == job::Prompt::Kind::part) extra = body({{"off", body({{"number", "X"}, {"serial", "1"}})}, {"on", body({{"number", "X"}, {"serial", "2"}})}});
        const bool dead = q.kind == job::Prompt::Kind::number && q.args["verb"].as_text() == "dead";
        const auto drafts = job::guard(p_, s_, now(), job::command_of(q, dead ? "0.01" : "", extra));
        if (!drafts) return drafts.error().code + " at " + q.id;
        for (const auto& draft : *drafts) write(draft.kind, draft.body);
        return "ok";
    }
};

} // namespace chockside::tests
