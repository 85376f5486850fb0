#pragma once
// What is not on the list, put so that it can win: a list that can't be left finds a culprit for everything.

#include <core/isolate/isolate.h>
#include <core/profile/model.h>

namespace chockside::job {

/// Gives every cause of class unlisted that has no rows of its own what troubles show on the average, check by check, each by its prior and
/// by how often it is met in that state; three quarters of its prior go to companions, appended one for each class on the list ("unlisted_display"
/// and so on), that show what that class shows on the average: they have the symptoms of the class, and none of its defects is there to be found.
/// A number is as with most (row "*").
void open_list(isolate::Model&, const profile::Installation&);

} // namespace chockside::job
