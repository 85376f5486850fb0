#pragma once
// One program per room: each test class registers itself, one main runs them all.

#include <QObject>
#include <QTest>

#include <memory>

namespace chockside::tests {

using Maker = std::unique_ptr<QObject> (*)();
bool add(const char* name, Maker maker);

} // namespace chockside::tests

#define CHOCKSIDE_TEST(Class)                                                                                                  \
    [[maybe_unused]] static const bool registered_##Class                                                                      \
        = chockside::tests::add(#Class, []() -> std::unique_ptr<QObject> { return std::make_unique<Class>(); });
