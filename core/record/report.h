#pragma once
// What a report says, before anybody knows about paper: sections of paragraphs, tables and one plot description.

#include <core/job/build_view.h>

#include <string>
#include <variant>
#include <vector>

namespace chockside::record {

struct Paragraph {
    std::string text;
    enum class Kind { plain, fact, caution } kind = Kind::plain;
};

struct Table {
    std::vector<std::string> head;
    std::vector<std::vector<std::string>> rows;
    std::vector<double> widths; ///< shares of the line, sum 1
};

/// A swing: points, fitted curve with its band, tolerance lines, card.
struct SwingPicture {
    job::SwingView swing;
};

using Block = std::variant<Paragraph, Table, SwingPicture>;

struct Section {
    std::string title;
    bool new_page = false;
    std::vector<Block> blocks;
};

struct Report {
    std::string job, tail, head_hash;
    bool practice = false;
    std::vector<Section> sections;
};

/// The aircraft entry (facts only), the ledger of breakers and open items, the swing; then, apart and on its own page, the
/// troubleshooting sheet with evidence and likelihoods, and the journal. `head_hash` is the digest of the job's last entry.
Report make_report(const profile::Profile&, const job::JobState&, const job::JobView&, const std::string& head_hash);

} // namespace chockside::record
