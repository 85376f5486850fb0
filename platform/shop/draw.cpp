#include <platform/shop/draw.h>

#include <core/base/time.h>

#include <qrencode.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <memory>

namespace chockside::shop {

namespace {

std::string number(double v)
{
    char text[40];
    std::snprintf(text, sizeof text, "%.1f", v);
    return text;
}

void line(Html& h, std::string css, double x1, double y1, double x2, double y2)
{
    h.open("line", {{"class", std::move(css)}, {"x1", number(x1)}, {"y1", number(y1)}, {"x2", number(x2)}, {"y2", number(y2)}}).close("line");
}
void label(Html& h, std::string css, double x, double y, std::string_view text)
{
    h.element("text", {{"class", std::move(css)}, {"x", number(x)}, {"y", number(y)}}, text);
}

} // namespace

Html mark(std::string_view name)
{
    Html h;
    h.markup("<svg class=\"mark\" viewBox=\"0 0 24 24\" width=\"24\" height=\"24\" aria-hidden=\"true\">");
    if (name == "good") h.markup("<circle cx=\"12\" cy=\"12\" r=\"11\" class=\"good\"/><path d=\"M6.3 12.4l3.9 4 7.4-8.2\" class=\"tick\"/>");
    else if (name == "unver") h.markup("<path d=\"M12 1.6L22.4 12 12 22.4 1.6 12z\" class=\"hollow\"/><path d=\"M9 9.6c0-4 6.2-3.8 6.2-.2 0 2.3-3.2 2.4-3.2 4.8\" class=\"pen\"/><rect x=\"10.8\" y=\"16\" width=\"2.5\" height=\"2.5\"/>");
    else if (name == "attn") h.markup("<path d=\"M12 .8L23.2 12 12 23.2.8 12z\" class=\"amber\"/><path d=\"M12 5.6v8\" class=\"pen\"/><rect x=\"10.5\" y=\"15.6\" width=\"3\" height=\"3\"/>");
    else if (name == "defer") h.markup("<rect x=\"1.8\" y=\"1.8\" width=\"20.4\" height=\"20.4\" class=\"hollow\"/><path d=\"M5.5 12h10M11.5 7l5 5-5 5\" class=\"pen\"/>");
    else if (name == "run") h.markup("<circle cx=\"12\" cy=\"12\" r=\"9\" class=\"thin\"/><path d=\"M12 3a9 9 0 1 1-8.6 6.4\" class=\"ring\"/>");
    else h.markup("<circle cx=\"12\" cy=\"12\" r=\"9.6\" class=\"dashed\"/>");
    h.markup("</svg>");
    return h;
}

Html rail(std::string_view letters, bool names)
{
    const double cell = names ? 170 : 28, top = 18, thick = names ? 12 : 12;
    std::string said;
    for (std::size_t i = 0; i < letters.size() && i < job::stage_count; ++i)
        said += std::string(job::title_of(static_cast<job::Stage>(i))) + (letters[i] == 's' ? " done, " : letters[i] == 'g' ? " open, " : letters[i] == 'w' ? " here, " : " not yet, ");
    Html h;
    h.open("svg", {{"class", names ? "rail wide" : "rail"}, {"viewBox", names ? "0 0 1190 60" : "0 0 196 34"}, {"role", "img"}, {"aria-label", said.empty() ? "no stages known" : said.substr(0, said.size() - 2)}});
    for (std::size_t i = 0; i < letters.size() && i < job::stage_count; ++i) {
        const double x = cell * static_cast<double>(i), w = cell - 2, gap = names ? 40 : 13;
        const auto piece = [&](const char* css, double from, double width) {
            h.open("rect", {{"class", css}, {"x", number(from)}, {"y", number(top)}, {"width", number(width)}, {"height", number(thick)}}).close("rect");
        };
        if (letters[i] == 's') piece("solid", x, w);
        else if (letters[i] == 'h') piece("empty", x + 1, w - 2);
        else if (letters[i] == 'w') piece("solid", x, w / 2), piece("empty", x + w / 2, w / 2 - 1);
        else {
            piece("solid", x, (w - gap) / 2);
            piece("solid", x + (w + gap) / 2, (w - gap) / 2);
            line(h, "lever", x + (w - gap) / 2, top + 2, x + (w - gap) / 2 + gap * 0.7, top - 13);
        }
        if (names) label(h, "name", x + 1, 54, job::title_of(static_cast<job::Stage>(i)));
    }
    h.close("svg");
    return h;
}

Html life_line(const std::vector<LifeMark>& marks, std::int64_t now)
{
    constexpr std::int64_t span = std::int64_t{182} * 24 * 3600 * 1000;
    constexpr double width = 1040;
    std::string said = "Half a year to " + to_date(now) + ": ";
    Html h, dots;
    std::vector<double> gaps;
    for (const auto& m : marks) {
        if (m.at < now - span || m.at > now) continue;
        const double x = width * static_cast<double>(m.at - (now - span)) / static_cast<double>(span);
        said += to_date(m.at) + " " + m.text + "; ";
        if (m.change) {
            dots.open("rect", {{"class", "solid"}, {"x", number(x - 3)}, {"y", "4"}, {"width", "6"}, {"height", "40"}}).close("rect");
            label(dots, "n small", std::min(x + 6, width - 160), 14, m.text.substr(0, 60));
        } else {
            gaps.push_back(x);
        }
    }
    std::sort(gaps.begin(), gaps.end());
    h.open("svg", {{"class", "lifeline"}, {"viewBox", "0 0 1040 64"}, {"role", "img"}, {"aria-label", said.substr(0, 2000)}});
    double at = 0;
    for (const double x : gaps) {
        if (x - 7 > at) h.open("rect", {{"class", "solid"}, {"x", number(at)}, {"y", "30"}, {"width", number(x - 7 - at)}, {"height", "12"}}).close("rect");
        line(h, "lever", x - 7, 32, x + 2, 16);
        at = x + 7;
    }
    if (at < width) h.open("rect", {{"class", "solid"}, {"x", number(at)}, {"y", "30"}, {"width", number(width - at)}, {"height", "12"}}).close("rect");
    h.add(dots);
    for (int month = 0; month <= 6; ++month) label(h, "n small", std::min(width * month / 6, width - 80), 60, to_date(now - span + span * month / 6));
    h.close("svg");
    return h;
}

Html harness(const std::vector<job::PlaceView>& places)
{
    Html h;
    if (places.empty()) return h;
    const double cell = 600 / static_cast<double>(places.size());
    double most = 0;
    for (const auto& p : places) most = std::max(most, p.p);
    h.open("svg", {{"class", "harness"}, {"viewBox", "0 0 600 120"}, {"role", "img"}, {"aria-label", "Likelihood by place, listed below"}});
    line(h, "wire", cell / 2, 62, 600 - cell / 2, 62);
    for (std::size_t i = 0; i < places.size(); ++i) {
        const auto& p = places[i];
        const double x = cell * (static_cast<double>(i) + 0.5);
        const bool first = p.p == most && most > 0;
        label(h, first ? "name mid strong" : "name mid", x, 22, p.label.substr(0, 14));
        label(h, "small mid", x, 40, p.where.substr(0, 16));
        h.open("rect", {{"class", first ? "amber" : "boxed"}, {"x", number(x - 9)}, {"y", "52"}, {"width", "18"}, {"height", "20"}}).close("rect");
        label(h, first ? "n big mid" : "n mid", x, 104, p.p < 0.005 ? "<1" : number(100 * p.p).substr(0, number(100 * p.p).find('.')) + (first ? "%" : ""));
    }
    h.close("svg");
    return h;
}

Html swing_plot(const job::SwingView& s)
{
    Html h;
    if (s.points.empty()) return h;
    double reach = s.tolerance_deg.value_or(1) * 1.3;
    for (const auto& p : s.points) reach = std::max(reach, std::fabs(p.deviation_deg) * 1.2);
    const auto x = [](double heading) { return 60 + 530 * heading / 360; };
    const auto y = [&](double deviation) { return 75 - 62 * deviation / reach; };
    h.open("svg", {{"class", "swing"}, {"viewBox", "0 0 600 170"}, {"role", "img"}, {"aria-label", "Deviation over heading: " + s.sentence}});
    line(h, "axis", 60, y(0), 590, y(0));
    if (s.tolerance_deg)
        for (const double limit : {*s.tolerance_deg, -*s.tolerance_deg}) {
            line(h, "limit", 60, y(limit), 590, y(limit));
            label(h, "n small end", 54, y(limit) + 5, (limit > 0 ? "+" : "\u2212") + number(std::fabs(limit)));
        }
    label(h, "n small end", 54, y(0) + 5, "0");
    std::string upper, lower, curve;
    for (const auto& b : s.band) {
        curve += number(x(b[0])) + "," + number(y(b[1])) + " ";
        upper += number(x(b[0])) + "," + number(y(b[3])) + " ";
        lower = number(x(b[0])) + "," + number(y(b[2])) + " " + lower;
    }
    if (!curve.empty()) {
        h.open("polygon", {{"class", "band"}, {"points", upper + lower}}).close("polygon");
        h.open("polyline", {{"class", "curve"}, {"points", curve}}).close("polyline");
    }
    for (const auto& p : s.points) h.open("circle", {{"class", p.outlier ? "point out" : "point"}, {"cx", number(x(p.indicated_deg))}, {"cy", number(y(p.deviation_deg))}, {"r", "6"}}).close("circle");
    for (int heading = 0; heading < 360; heading += 60) {
        char text[16];
        std::snprintf(text, sizeof text, "%03d", heading);
        label(h, "n small mid", x(heading), 164, text);
    }
    h.close("svg");
    return h;
}

Html interval_plot(const std::string& title, const std::vector<IntervalMark>& marks)
{
    Html h;
    if (marks.empty()) return h;
    const auto x = [](double share) { return 12 + 330 * share; };
    const double row = 48, bottom = 6 + row * static_cast<double>(marks.size());
    std::string words;
    for (const auto& m : marks) words += m.label + ": " + number(100 * m.value) + " %, from " + number(100 * m.lower) + " to " + number(100 * m.upper) + " %. ";
    h.open("svg", {{"class", "intervals"}, {"viewBox", "0 0 372 " + number(bottom + 26)}, {"role", "img"}, {"aria-labelledby", "intervals-title intervals-desc"}});
    h.element("title", {{"id", "intervals-title"}}, title).element("desc", {{"id", "intervals-desc"}}, words);
    for (int ten = 0; ten <= 100; ten += 20) {
        line(h, "axis", x(ten / 100.0), 8, x(ten / 100.0), bottom);
        label(h, "n small mid", x(ten / 100.0), bottom + 18, std::to_string(ten) + (ten == 100 ? " %" : ""));
    }
    for (std::size_t i = 0; i < marks.size(); ++i) {
        const auto& m = marks[i];
        const double y = 6 + row * (static_cast<double>(i) + 0.72);
        label(h, "name halo", 12, y - 14, m.label);
        line(h, "whisker", x(m.lower), y, x(m.upper), y);
        for (const double end : {m.lower, m.upper}) line(h, "whisker", x(end), y - 7, x(end), y + 7);
        h.open("circle", {{"class", "point"}, {"cx", number(x(m.value))}, {"cy", number(y)}, {"r", "6"}}).close("circle");
    }
    h.close("svg");
    return h;
}

Html qr_symbol(const std::string& text)
{
    Html h;
    struct End {
        void operator()(QRcode* q) const { QRcode_free(q); }
    };
    const std::unique_ptr<QRcode, End> code(QRcode_encodeString8bit(text.c_str(), 0, QR_ECLEVEL_M));
    if (!code) return h;
    std::string path;
    for (int row = 0; row < code->width; ++row)
        for (int column = 0; column < code->width; ++column)
            if (code->data[row * code->width + column] & 1) path += "M" + std::to_string(column + 4) + " " + std::to_string(row + 4) + "h1v1h-1z";
    const std::string side = std::to_string(code->width + 8);
    h.open("svg", {{"class", "qr"}, {"viewBox", "0 0 " + side + " " + side}, {"role", "img"}, {"aria-label", "QR symbol of the code below"}});
    h.open("rect", {{"width", side}, {"height", side}, {"class", "paper"}}).close("rect").open("path", {{"d", path}}).close("path").close("svg");
    return h;
}

} // namespace chockside::shop
