#pragma once
// Failure as a value, with the member names of std::expected so that it can be swapped when the compiler has it.

#include <core/base/problem.h>

#include <type_traits>
#include <utility>
#include <variant>

namespace chockside {

template <class E = Problem>
struct Unexpected {
    E error;
};

template <class E>
Unexpected(E) -> Unexpected<E>;

template <class T, class E = Problem>
class [[nodiscard]] Result {
public:
    Result(T value) : state_(std::in_place_index<0>, std::move(value)) {}
    Result(Unexpected<E> bad) : state_(std::in_place_index<1>, std::move(bad.error)) {}

    bool has_value() const { return state_.index() == 0; }
    explicit operator bool() const { return has_value(); }
    T& value() { return std::get<0>(state_); }
    const T& value() const { return std::get<0>(state_); }
    T& operator*() { return std::get<0>(state_); }
    const T& operator*() const { return std::get<0>(state_); }
    T* operator->() { return &std::get<0>(state_); }
    const T* operator->() const { return &std::get<0>(state_); }
    const E& error() const { return std::get<1>(state_); }
    T value_or(T other) const { return has_value() ? std::get<0>(state_) : std::move(other); }

private:
    std::variant<T, E> state_;
};

template <class E>
class [[nodiscard]] Result<void, E> {
public:
    Result() = default;
    Result(Unexpected<E> bad) : error_(std::move(bad.error)), ok_(false) {}

    bool has_value() const { return ok_; }
    explicit operator bool() const { return ok_; }
    const E& error() const { return error_; }

private:
    E error_{};
    bool ok_ = true;
};

using Status = Result<void, Problem>;

inline Unexpected<Problem> fail(std::string code, std::string place = {}, Problem::Args args = {})
{
    return {Problem{std::move(code), std::move(place), std::move(args)}};
}

} // namespace chockside
