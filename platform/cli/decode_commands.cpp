#include <platform/cli/decode_commands.h>

#include <core/base/json.h>
#include <core/capture/reader.h>
#include <core/codec/decoder.h>
#include <platform/cli/command.h>

#include <CLI/CLI.hpp>

#include <cmath>
#include <iostream>

namespace chockside::cli {

namespace {

struct Options {
    std::string capture, profile;
    bool csv = false;
};

struct Row {
    double t_s;
    const char* direction;
    const char* kind;
    std::string name;
    json::Value value;
    std::string unit, valid, raw;
};

std::string quoted(const std::string& text)
{
    if (text.find_first_of(",\"\n") == std::string::npos) return text;
    std::string out = "\"";
    for (char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
    return out + "\"";
}

void print_csv(const Row& r)
{
    const std::string value = r.value.is_text() ? quoted(r.value.as_text()) : r.value.is_null() ? std::string() : json::number_text(r.value.as_double());
    std::cout << json::number_text(r.t_s) << ',' << r.direction << ',' << r.kind << ',' << r.name << ',' << value << ',' << r.unit << ',' << r.valid << ','
              << r.raw << "\n";
}

void print_json(const Row& r)
{
    std::cout << json::write(json::Object{{"t_s", r.t_s}, {"direction", r.direction}, {"kind", r.kind}, {"name", r.name}, {"value", r.value},
        {"unit", r.unit}, {"valid", r.valid}, {"raw", r.raw}})
              << "\n";
}

std::string hex_of(std::uint64_t raw)
{
    char text[24];
    std::snprintf(text, sizeof text, "0x%llX", static_cast<unsigned long long>(raw));
    return text;
}

class Printer {
public:
    Printer(const Options& o, std::shared_ptr<const codec::Plan> plan) : csv_(o.csv), plan_(std::move(plan)), decoder_(plan_) {}

    void packet(const capture::Packet& p, std::int64_t first_ns)
    {
        const double t_s = static_cast<double>(p.t_ns - first_ns) / 1e9;
        if (p.event != capture::Event::received_start && p.event != capture::Event::sent_start && p.event != capture::Event::complete
            && p.event != capture::Event::status_change)
            print({t_s, direction(p), "event", capture::name_of(p.event), nullptr, {}, {}, to_hex(p.bytes)});
        if (!p.comment.empty()) print({t_s, direction(p), "remark", "comment", p.comment, {}, {}, {}});
        if (p.bytes.empty()) return;
        if (p.direction == capture::Direction::sent) return print({t_s, "sent", "bytes", "request", nullptr, {}, {}, to_hex(p.bytes)});
        decoder_.feed(p.bytes, p.t_ns, [&](const codec::FrameView& f) { frame(f, t_s); });
    }

    const codec::Counters& counters() const { return decoder_.counters(); }

private:
    static const char* direction(const capture::Packet& p)
    {
        return p.direction == capture::Direction::sent ? "sent" : p.direction == capture::Direction::received ? "received" : "none";
    }

    void frame(const codec::FrameView& f, double t_s)
    {
        for (const codec::Observation& o : f.observations) {
            const codec::Signal& s = plan_->signal_table()[o.signal];
            const bool word = s.name.starts_with("word.");
            const json::Value value = std::isfinite(o.value) ? json::Value(o.value) : json::Value(nullptr);
            print({t_s, "received", word ? "word" : s.boolean ? "bit" : "field", s.name, value, s.unit, codec::name_of(o.validity), hex_of(o.raw)});
        }
        for (const auto& [name, text] : f.texts) print({t_s, "received", "text", name, text, {}, "good", {}});
    }

    void print(const Row& r) const { csv_ ? print_csv(r) : print_json(r); }

    bool csv_;
    std::shared_ptr<const codec::Plan> plan_;
    codec::Decoder decoder_;
};

int decode(const Options& o, const Run& run)
{
    const auto profile = usable_profile(o.profile);
    if (!profile) return say(profile.error(), run);
    const auto plan = codec::Plan::compile((*profile)->unit);
    if (!plan) return say(plan.error(), run);
    const auto text = text_of(o.capture);
    if (!text) return say(text.error(), run);
    const auto read = capture::read_all(as_bytes(*text));
    if (!read) return say(read.error(), run);
    Printer printer(o, *plan);
    if (o.csv) std::cout << "t_s,direction,kind,name,value,unit,valid,raw\n";
    const std::int64_t first = read->packets.empty() ? 0 : read->packets.front().t_ns;
    for (const capture::Packet& p : read->packets) printer.packet(p, first);
    if (!run.json) {
        const codec::Counters& c = printer.counters();
        std::cerr << c.frames << " frames, " << c.bytes << " bytes; bad check " << c.bad_checksum << ", short " << c.short_frame << ", too long " << c.too_long
                  << ", unknown id " << c.unknown_id << ", parity " << c.parity_errors << ", resync " << c.resync << "\n";
    }
    if (read->cut_tail > 0 || !read->damage.empty()) std::cerr << (run.json ? "" : "The capture is cut or damaged at its end.\n");
    return 0;
}

} // namespace

void add_decode_command(CLI::App& app, Run& run)
{
    const auto options = std::make_shared<Options>();
    CLI::App* c = app.add_subcommand("decode", "Observations of a capture, as JSON lines or CSV");
    add_json(*c, run);
    c->add_option("CAPTURE", options->capture, "A pcapng or pcap file of a serial line")->required();
    c->add_option("--profile", options->profile, "The profile")->required();
    c->add_flag("--csv", options->csv, "CSV instead of JSON lines");
    c->callback([options, &run] { run.code = decode(*options, run); });
}

} // namespace chockside::cli
