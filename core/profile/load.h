#pragma once

#include <core/base/result.h>
#include <core/profile/objection.h>
#include <core/profile/model.h>

#include <functional>
#include <string_view>

namespace chockside::profile {

struct LoadOutcome {
    Profile profile;
    Complaints complaints;
    bool usable() const; ///< no complaint is an error
};

enum class Half { unit, installation };
/// The text of the half that "use" names: a file beside the main one (pru_2.unit.json, sandgrouse_12.installation.json).
using FindHalf = std::function<Result<std::string>(const std::string& use_id, Half)>;

/// Reads a profile: shape, references, then the rules of lint.h. The profile holds whatever could be read, and is fit for use only
/// where usable().
LoadOutcome load(std::string_view main_file_text, const FindHalf& find_half);
/// The same for halves named without their kind.
LoadOutcome load(std::string_view main_file_text, const std::function<Result<std::string>(const std::string& use_id)>& find_half);

/// One half on its own.
LoadOutcome load_half(std::string_view text, Half half);

} // namespace chockside::profile
