#include <core/campaign/looks.h>

#include <algorithm>

namespace chockside::campaign {

int Scene::count(double per_hour, double minutes)
{
    if (per_hour >= always) return 20;
    double mean = std::min(per_hour * minutes / 60, 20.0);
    int n = 0;
    for (double p = std::exp(-mean), at = chance.uniform(); at > p && n < 20; p *= mean / n) at -= p, ++n;
    return n;
}

bool showing_now(Scene& s)
{
    const Setting here = on_stand(s.now());
    if (errors(s.now(), here).shows()) return true;
    return s.happens(losses(s.now(), here).all(), 0.3);
}

Look find_look(const std::string& check)
{
    for (const auto table : {detail::told, detail::cockpit, detail::bay, detail::bench, detail::pressure})
        if (const Look l = table(check)) return l;
    return nullptr;
}

} // namespace chockside::campaign
