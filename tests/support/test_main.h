#pragma once
// One program per room: each test class registers itself, one main runs them all.

#include <QObject>
#include <QTest>

#include <memory>

namespace chockside::tests {

using Maker = std::unique_ptr<QObject> (*)();
bool add(const char* name, Maker maker);

/// Runs the class named by the first argument, or every class; the other arguments go to Qt Test. `-list` prints the names.
/// Gives 0 only when something ran and all of it passed.
int run(int argc, char** argv);

} // namespace chockside::tests

#define CHOCKSIDE_TEST(Class)                                                                                                  \
    [[maybe_unused]] static const bool registered_##Class                                                                      \
        = chockside::tests::add(#Class, []() -> std::unique_ptr<QObject> { return std::make_unique<Class>(); });
