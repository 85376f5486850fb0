#pragma once

#include <core/practice/aircraft.h>
#include <core/practice/scenario.h>

#include <fstream>
#include <sstream>

namespace chockside::practice {

inline Book practice_book()
{
    std::stringstream text;
    text << std::ifstream(CHOCKSIDE_SOURCE_DIR "/assets/practice/sandgrouse_12.practice.json").rdbuf();
    return Book::read(text.str()).value();
}

inline Aircraft aircraft_with(const std::string& fault, std::uint64_t seed = 7)
{
    return Aircraft(practice_book().scenario(fault, seed).value());
}

} // namespace chockside::practice
