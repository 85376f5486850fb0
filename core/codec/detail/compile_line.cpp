#include <core/codec/detail/compiler.h>

namespace chockside::codec::detail {

using profile::Field;
using profile::FieldType;

// In a text line the fields are counted, not measured: an op's offset is the number of its token (the selector is token 0).
Status Compiler::line(const profile::Frame& f)
{
    std::uint16_t token = 1;
    per_body_ = 0;
    for (const Field& field : f.fields) {
        const bool simple = field.repeat_count.empty() && field.type != FieldType::group && field.type != FieldType::arinc429
            && field.type != FieldType::bcd;
        if (!simple) return fail("bad_field", f.name, {{"field", field.name}, {"why", "not_in_lines"}});
        const Slot slot{&field, token++, field.type == FieldType::number_text ? 8u : width_of(field)};
        if (Status s = field_op(slot, f.name + ".", f.period_ms); !s) return s;
        frame_->token_types.push_back(field.type);
    }
    frame_->worst_observations += per_body_;
    return {};
}

} // namespace chockside::codec::detail
