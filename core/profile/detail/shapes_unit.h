#pragma once

#include <core/profile/shape.h>

namespace chockside::profile::detail {

const Shape& frame_shape();
const Shape& word_shape();
const Shape& request_shape();
const Shape& said_shape();
const Shape& source_ref_shape();
const Shape& source_document_shape();

} // namespace chockside::profile::detail
