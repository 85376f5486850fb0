#pragma once
// What a technician can see, ask or measure. Never the truth, except after the finding was told.

#include <core/base/json.h>
#include <core/practice/aircraft.h>
#include <core/practice/meter.h>

#include <string_view>

namespace chockside::practice {

class Eyes {
public:
    explicit Eyes(Aircraft& aircraft) : p_(aircraft.parts()), meter_(p_) {}

    json::Value breaker(std::string_view label);
    json::Value display(std::string_view which);
    json::Value standby();
    /// Altimeter 1, the standby, and the elevation that the stand's plate gives, feet.
    json::Value altimeters();
    /// How altimeter 1 is set, against what the tower gives.
    json::Value baro();
    /// "P9", "REF 1", "RMS-1", "J1" ...: {"wet", "seated", "marks"}.
    json::Value look(std::string_view at);
    json::Value contact(std::string_view at);
    json::Value lamp(std::string_view which);
    json::Value selector(std::string_view what);
    json::Value crew(std::string_view question);
    /// Magnetic heading sighted along a landmark, free of any field at the stand; sigma 0.2 degrees.
    json::Value reference_heading();
    json::Value photo(std::string_view of);
    json::Value showing();
    json::Value writeup();
    json::Value serials();
    json::Value all();
    Meter& meter() { return meter_; }

private:
    Parts& p_;
    Meter meter_;
};

json::Value to_json(const Reading& reading);

} // namespace chockside::practice
