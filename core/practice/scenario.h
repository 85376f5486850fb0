#pragma once
// The book of faults and what one draw makes of it: parameters spread by seed, and the crew's answers.

#include <core/base/json.h>
#include <core/base/result.h>
#include <core/practice/world.h>

#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace chockside::practice {

/// One physical thing that is wrong. `kind` picks the sub-model that reads it: series_ohm, cart_ohm, wet, intermittent, sensor_axis,
/// input_stage, cold_clock, calibration, strap_open, stand_iron, free; of an air data unit static_drift, static_water, static_leak,
/// heater_open, baro_set.
struct Effect {
    std::string kind;
    std::map<std::string, double> number;
    std::map<std::string, std::string> word;
    std::string cured_by;

    double num(const std::string& key, double other = 0) const;
    const std::string& text(const std::string& key) const;
    bool flag(const std::string& key) const { return num(key) != 0; }
    int channel() const { return static_cast<int>(num("channel")); }
};

/// A record in the unit's fault memory from before the technician came.
struct OldRecord {
    int code = 0, channel = 1, power_ups_ago = 0, at_s = 0, count = 1;
};

struct Fault {
    std::string id, fault_class, complaint, writeup;
    std::map<std::string, std::string> crew; ///< question -> answer code
    std::map<std::string, std::string> serials;
    std::vector<Effect> effects;
    std::vector<OldRecord> stored;
};

struct Scenario {
    World world;
    Fault fault;
    std::uint64_t seed = 0;
};

/// The practice file, read once. Codes: json_* of the reader, practice_format, practice_missing (place = pointer).
class Book {
public:
    static Result<Book> read(std::string_view text);

    std::vector<std::string> fault_ids() const;
    const World& world() const { return world_; }
    /// Answer codes that a profile would offer for a crew question.
    std::vector<std::string> answers(const std::string& question) const;
    /// Picks a fault by its share and spreads its parameters; the same seed gives the same scenario.
    Scenario draw(std::uint64_t seed) const;
    /// The named fault with parameters spread by seed. Code: practice_no_such_fault.
    Result<Scenario> scenario(const std::string& fault_id, std::uint64_t seed) const;

private:
    json::Value root_;
    World world_;
};

} // namespace chockside::practice
