// A hand-over file brought to the page.
#include <platform/shop/draw.h>
#include <platform/shop/hand_over.h>
#include <platform/shop/site.h>

#include <core/sync/carry.h>

namespace chockside::shop {

namespace {

constexpr std::uint64_t file_most = 16u << 20;

std::string words_of(const std::string& refusal)
{
    const auto r = sync::refusal_from(refusal);
    const std::string code = r ? r->code : "";
    if (code == "gap") return "Not taken: entries before these have not come. Bring the file that ends at " + std::to_string(r->head.seq) + " first, or make it anew.";
    if (code == "fork") return "Not taken: two histories under one key. Both are kept; a person decides.";
    if (code == "bad_entry") return "Taken up to a damaged entry, no further.";
    if (code == "not_enrolled") return "Not taken: this tablet is not enrolled here.";
    if (code == "revoked") return "Not taken: this tablet is revoked.";
    return "Not taken: " + (code.empty() ? std::string("no answer") : code);
}

std::string words_of(const Problem& p)
{
    if (p.code == "incomplete") return "Symbols of the series are missing: " + (p.args.empty() ? std::string() : p.args.front().second);
    if (p.code == "hash_mismatch") return "The file has changed on its way.";
    return "This is no hand-over file.";
}

/// As the tablet looks for it; of whom and how far, so that two of them lie side by side in one folder.
std::string receipts_name(const TakenOver& taken)
{
    for (const auto& [author, of] : taken.authors)
        if (of.receipt) return author.substr(0, 8) + "-" + std::to_string(of.receipt->seq) + ".receipts";
    return "none.receipts";
}

} // namespace

/// Who it is is looked at before more than a first piece of the body is kept.
class Site::HandOver final : public Sink, public std::enable_shared_from_this<Site::HandOver> {
public:
    HandOver(Site& site, const Head& head, Reply reply) : site_(site), reply_(std::move(reply)) { static_cast<Head&>(request_) = head; }

    void write(std::string bytes, std::function<void(bool)> next) override
    {
        request_.body += bytes;
        if (known_) return next(true);
        const bool put = site_.workers_.put([self = shared_from_this(), next](Reader& reader) {
            auto visitor = site_visitor(*self, reader);
            self->known_ = visitor.has_value();
            if (!visitor) self->reply_(visitor.error());
            next(visitor.has_value());
        });
        if (put) return;
        reply_(plain(503).set("Retry-After", "2"));
        next(false);
    }
    void end() override
    {
        const bool put = site_.workers_.put([self = shared_from_this()](Reader& reader) { self->site_.serve(reader, self->request_, self->reply_); });
        if (!put) reply_(plain(503).set("Retry-After", "2"));
    }
    void broken() override {}

private:
    static Result<PageSession, Response> site_visitor(HandOver& self, Reader& reader) { return self.site_.visitor(reader, self.request_, Role::lead); }

    Site& site_;
    Reply reply_;
    Request request_;
    bool known_ = false;
};

Intake Site::hand_over(const Head& head, Reply reply)
{
    return {{}, file_most, std::make_shared<HandOver>(*this, head, std::move(reply)), {}};
}

Response Site::take(const Visit& v)
{
    Html h;
    const auto brought = sync::brought(v.field("file"));
    if (!brought) return frame(&v.session, "Nothing was taken.", "Tablets", h.element("p", {{"class", "problem"}, {"role", "alert"}}, words_of(brought.error())), false, 400);
    if (blobs_.free_share() < settings_.least_free) return plain(507, "The shop's disk is full.");
    const auto taken = take_over(brought->lines, [this](const std::function<Status(sync::Receive&)>& what) { return act(what); });
    Connection* c = v.reader.ledger.connection();
    auto names = c ? book_.names(*c) : Result<std::map<std::string, std::string>>(fail("gone"));
    if (!taken || !names) return plain(503).set("Retry-After", "5");
    const auto kept = blobs_.put(taken->receipts);
    if (!kept) return plain(503);
    h.markup("<div class=\"scroll\"><table><thead><tr><th>Tablet</th><th>Key</th><th>What came of it</th></tr></thead><tbody>");
    for (const auto& [author, of] : taken->authors) {
        h.markup("<tr><td data-label=\"Tablet\" class=\"tail\">").text(names->contains(author) ? names->at(author) : "-").markup("</td><td data-label=\"Key\"><code>").text(author.substr(0, 12));
        h.markup("</code></td><td data-label=\"What came of it\" class=\"state\">").add(mark(of.receipt ? "good" : "unver")).text(of.receipt ? "Here up to entry " + std::to_string(of.receipt->seq) : words_of(of.refusal)).markup("</td></tr>");
    }
    h.markup("</tbody></table></div>");
    const bool some = taken->refused < taken->authors.size();
    const std::string name = receipts_name(*taken);
    if (some) h.markup("<p>").element("a", {{"class", "key write"}, {"id", "receipts"}, {"href", file_link(*kept, name)}}, "Receipts for the way back").markup("</p>");
    return frame(&v.session, !some ? "Nothing was taken." : taken->refused ? "Some of it is here." : "All of it is here.", "Tablets", h, false, some ? 200 : 400);
}

} // namespace chockside::shop
