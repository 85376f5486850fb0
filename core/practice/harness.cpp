#include <core/practice/harness.h>

#include <algorithm>
#include <cmath>

namespace chockside::practice {

namespace {

constexpr double dry_leak_ohm = 220e6;
constexpr double neighbour_gain = 2.0;
constexpr double relief_s = 7200;

} // namespace

std::optional<Circuit> circuit_of(const std::string& name)
{
    if (name == "drive") return drive;
    if (name == "x") return signal_x;
    if (name == "y") return signal_y;
    return std::nullopt;
}

Harness::Harness(const Defects& defects, std::uint64_t seed) : random_(seed)
{
    if (const Effect* wet = defects.find("wet"))
        if (const auto place = place_of(wet->text("place"))) wetness_[*place] = wet->num("wetness");
}

void Harness::flex(Place place, double gain, double seconds)
{
    flexed_ = place;
    flex_gain_ = std::clamp(gain, 0.0, 3.0);
    flex_left_s_ = std::clamp(seconds, 0.0, 600.0);
}

void Harness::leave_still()
{
    flex_left_s_ = 0;
}

void Harness::reseat(Place place)
{
    relief_[place] = relief_s;
}

void Harness::mist(Place place, const Defects& defects)
{
    const Effect* wet = defects.find("wet");
    if (wet && place_of(wet->text("place")) == place) wetness_[place] = 1.0;
}

void Harness::dry(Place place)
{
    wetness_[place] = 0;
}

void Harness::step(double dt_s, const Controls& controls, const Defects& defects)
{
    flex_left_s_ = std::max(0.0, flex_left_s_ - dt_s);
    for (double& left : open_left_s_) left -= dt_s;
    for (double& left : relief_) left = std::max(0.0, left - dt_s);
    for (const Effect& effect : defects.all()) {
        if (effect.kind == "intermittent") step_intermittent(dt_s, effect);
        if (effect.kind == "wet") step_wet(dt_s, effect);
    }
    const bool apart = !controls.connected[p9] || !controls.connected[d3] || !controls.connected[j1];
    for (std::size_t c = 0; c < circuit_count; ++c) open_[c] = apart || open_left_s_[c] > 0;
}

double Harness::rate_gain(const Effect& effect, Place place) const
{
    double gain = relief_[place] > 0 ? effect.num("reseat", 1) : 1;
    if (flex_left_s_ <= 0 || !flexed_) return gain;
    if (*flexed_ == place) return gain * std::max(1.0, effect.num("flex_gain", 1) * flex_gain_);
    const bool beside = *flexed_ + 1 == place || place + 1 == static_cast<std::size_t>(*flexed_);
    return beside ? gain * std::max(1.0, neighbour_gain * flex_gain_) : gain;
}

// Openings come as a Poisson stream whose rate follows the movement; each lasts an exponential time.
void Harness::step_intermittent(double dt_s, const Effect& effect)
{
    const auto place = place_of(effect.text("place"));
    const auto circuit = circuit_of(effect.text("circuit"));
    if (!place || !circuit) return;
    const double rate = effect.num("rate_per_h") / 3600 * rate_gain(effect, *place);
    if (random_.uniform() < rate * dt_s) open_left_s_[*circuit] = 0.08 - effect.num("open_s", 0.5) * std::log(1 - random_.uniform());
}

// Water dries with one time constant; while it bridges the contacts, the signal is lost now and then.
void Harness::step_wet(double dt_s, const Effect& effect)
{
    const auto place = place_of(effect.text("place"));
    if (!place) return;
    wetness_[*place] *= std::exp(-dt_s / effect.num("dry_s", 3600));
    const double rate = effect.num("rate_per_h") / 3600 * wetness_[*place] * wetness_[*place];
    if (random_.uniform() >= rate * dt_s) return;
    const double lasts = 0.08 - effect.num("open_s", 0.3) * std::log(1 - random_.uniform());
    open_left_s_[signal_x] = open_left_s_[signal_y] = lasts;
}

double Harness::leak_ohm(const Defects& defects) const
{
    const Effect* wet = defects.find("wet");
    if (!wet) return dry_leak_ohm;
    const auto place = place_of(wet->text("place"));
    const double soaked = place ? wetness_[*place] / wet->num("leak_ohm", 40000) : 0;
    return 1 / (1 / dry_leak_ohm + soaked);
}

} // namespace chockside::practice
