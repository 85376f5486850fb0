#pragma once

#include "job_rows.h"

namespace chockside::models {

template <class List, class Make>
Rows rows_of(const List& list, Make make)
{
    Rows rows;
    for (const auto& item : list) rows.append(make(item));
    return rows;
}

} // namespace chockside::models
