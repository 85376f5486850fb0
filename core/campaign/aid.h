#pragma once
// What a policy is given beside the aircraft: the model, gates and prices of one installation. The physics never sees it.

#include <core/campaign/looks.h>
#include <core/isolate/isolate.h>
#include <core/profile/model.h>

#include <map>
#include <set>

namespace chockside::campaign {

struct Aid {
    std::map<std::string, isolate::Model> models;   ///< by kind of complaint
    std::vector<isolate::Gate> gates;
    std::map<std::string, isolate::Costs> costs;
    std::set<std::string> first;                    ///< checks of the write-up and as found, done before all others
    std::set<std::string> unknown;                  ///< checks of the profile that no look of the campaign does; left out of the models
    double threshold = 0.9;
};

Aid aid_of(const profile::Profile&);

} // namespace chockside::campaign
