#include <core/job/view.h>

namespace chockside::job {

namespace {
constexpr const char* names[stage_count] = {"write_up", "as_found", "make_ready", "isolate", "put_right", "prove", "close"};
constexpr const char* titles[stage_count] = {"Write-up", "As found", "Make ready", "Isolate", "Put right", "Prove", "Close"};
}

const char* name_of(Stage stage)
{
    return names[static_cast<int>(stage)];
}

const char* title_of(Stage stage)
{
    return titles[static_cast<int>(stage)];
}

std::optional<Stage> stage_of(const std::string& name)
{
    for (int i = 0; i < stage_count; ++i)
        if (name == names[i]) return static_cast<Stage>(i);
    return std::nullopt;
}

} // namespace chockside::job
