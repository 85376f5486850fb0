#include <platform/shop/hand_over.h>

#include <core/sync/handover.h>

namespace chockside::shop {

namespace {

using Answers = std::map<std::string, sync::Answer>;

Result<Answers> answers_to(std::vector<sync::Line> part, const Act& act)
{
    Answers answers;
    auto done = act([&](sync::Receive& receive) -> Status {
        auto taken = receive.take(part);
        if (!taken) return Unexpected{taken.error()};
        answers = std::move(*taken);
        return {};
    });
    return done ? Result<Answers>(std::move(answers)) : Result<Answers>(Unexpected{done.error()});
}

TakenOver::Of told_by(const sync::Answer& answer)
{
    const auto told = answer.status == 200 ? sync::push_answer_from(answer.body) : Result<sync::PushAnswer>(fail("refused"));
    if (told && told->receipt) return {*told->receipt, {}};
    return {{}, answer.body};
}

} // namespace

Result<TakenOver> take_over(const std::vector<sync::Line>& lines, const Act& act)
{
    TakenOver all;
    for (std::size_t at = 0; at < lines.size();) {
        std::vector<sync::Line> part;
        for (; at < lines.size() && part.size() < sync::limits::batch_entries; ++at) {
            const auto stated = sync::stated(lines[at].envelope);
            const auto known = stated ? all.authors.find(stated->author) : all.authors.end();
            if (known == all.authors.end() || known->second.receipt) part.push_back(lines[at]);
        }
        auto answers = answers_to(std::move(part), act);
        if (!answers) return Unexpected{answers.error()};
        for (const auto& [author, answer] : *answers) all.authors[author] = told_by(answer);
    }
    sync::ReceiptFile back;
    for (const auto& [author, of] : all.authors) {
        if (of.receipt) back.receipts.push_back(*of.receipt);
        else ++all.refused;
    }
    // The way back is to one tablet; what several brought together goes without.
    if (back.receipts.size() == 1) {
        constexpr std::int64_t newest = 500;
        auto done = act([&](sync::Receive& receive) -> Status {
            auto written = receive.written_for(back.receipts.front().author, newest);
            if (!written) return Unexpected{written.error()};
            back.streams = std::move(written->first);
            back.lines = std::move(written->second);
            return {};
        });
        if (!done) return Unexpected{done.error()};
    }
    all.receipts = sync::text(back);
    return all;
}

} // namespace chockside::shop
