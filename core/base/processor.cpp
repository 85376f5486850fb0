#include <core/base/processor.h>

namespace chockside {

bool newer_processor()
{
#ifdef CHOCKSIDE_NEWER
    static const bool all = __builtin_cpu_supports("ssse3") && __builtin_cpu_supports("sse4.1") && __builtin_cpu_supports("bmi") && __builtin_cpu_supports("bmi2");
    return all;
#else
    return false;
#endif
}

} // namespace chockside
