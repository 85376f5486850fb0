#include <platform/report/pdf.h>

#include <platform/paint/swing_painter.h>

#include <QBuffer>
#include <QFont>
#include <QFontMetricsF>
#include <QPageSize>
#include <QPainter>
#include <QPdfWriter>
#include <QTextLayout>
#include <QTextOption>

#include <algorithm>
#include <cmath>
#include <memory>
#include <span>

namespace chockside::report {

namespace {

using record::Block;
using record::Paragraph;
using record::Table;

QString q(const std::string& text)
{
    return QString::fromStdString(text);
}

/// Lays blocks one below the other. Run twice: once to count pages, once to draw them.
class Pages {
public:
    Pages(QPdfWriter& writer, QPainter& painter, const record::Report& report, bool draw, int total)
        : writer_(writer), p_(painter), report_(report), draw_(draw), total_(total), mm_(writer.resolution() / 25.4),
          page_(0, 0, writer.width(), writer.height())
    {
        frame();
    }

    void section(const record::Section& s)
    {
        if (s.new_page && y_ > top()) next_page();
        need(34 * mm_); // a title, the head of a table and its first row
        y_ += 3 * mm_;
        text(q(s.title), font(12, true), 0, page_.width());
        y_ += 1 * mm_;
        for (const Block& block : s.blocks) std::visit([&](const auto& b) { put(b); }, block);
        y_ += 3 * mm_;
    }

    int pages() const { return number_; }

private:
    double top() const { return 22 * mm_; }
    double bottom() const { return page_.height() - 12 * mm_; }

    QFont font(double points, bool bold) const
    {
        QFont f("Inter");
        f.setStyleStrategy(QFont::PreferNoShaping); // shaped, hyphens and colons become glyphs that no reader can search or copy
        f.setPointSizeF(points);
        f.setWeight(bold ? QFont::Bold : QFont::Medium);
        return f;
    }

    void next_page()
    {
        if (draw_) writer_.newPage();
        ++number_;
        frame();
    }

    void need(double height)
    {
        if (y_ + height > bottom()) next_page();
    }

    void frame()
    {
        y_ = top();
        if (!draw_) return;
        p_.setPen(QPen(Qt::black, 0.5 * mm_));
        p_.setFont(font(15, true));
        p_.drawText(QRectF(0, 0, page_.width(), 9 * mm_), Qt::AlignLeft | Qt::AlignVCenter, q(report_.tail));
        p_.setFont(font(8, false));
        p_.drawText(QRectF(0, 9 * mm_, page_.width(), 5 * mm_), Qt::AlignLeft | Qt::AlignVCenter, "Job " + q(report_.job));
        p_.drawText(QRectF(0, 9 * mm_, page_.width(), 5 * mm_), Qt::AlignRight | Qt::AlignVCenter, QString("page %1 of %2").arg(number_).arg(total_));
        p_.drawLine(QPointF(0, 15.5 * mm_), QPointF(page_.width(), 15.5 * mm_));
        p_.drawText(QRectF(0, page_.height() - 7 * mm_, page_.width(), 5 * mm_), Qt::AlignLeft | Qt::AlignVCenter, "Head of the journal, SHA-256 " + q(report_.head_hash));
        if (report_.practice) demo();
    }

    void demo()
    {
        const QRectF tile(page_.width() - 46 * mm_, 0, 46 * mm_, 8.5 * mm_);
        p_.fillRect(tile, Qt::black);
        p_.setPen(Qt::white);
        p_.setFont(font(11, true));
        p_.drawText(tile, Qt::AlignCenter, "DEMO \u00B7 PRACTICE");
        p_.setPen(Qt::black);
    }

    /// Words broken into lines, each drawn where it falls: what is taller than a page goes on over the next one.
    std::unique_ptr<QTextLayout> lines_of(const QString& words, const QFont& f, double width) const
    {
        auto lay = std::make_unique<QTextLayout>(words, f, &writer_);
        QTextOption option;
        option.setWrapMode(QTextOption::WrapAtWordBoundaryOrAnywhere);
        lay->setTextOption(option);
        lay->beginLayout();
        for (QTextLine line = lay->createLine(); line.isValid(); line = lay->createLine()) {
            line.setLineWidth(width);
            line.setPosition(QPointF());
        }
        lay->endLayout();
        return lay;
    }

    static double height_of(const QTextLine& line) { return line.height() * 1.1; }

    static double height_of(const QTextLayout& lay)
    {
        double height = 0;
        for (int i = 0; i < lay.lineCount(); ++i) height += height_of(lay.lineAt(i));
        return height;
    }

    /// Together where a page has room for it.
    void need_if_possible(double height)
    {
        if (height <= bottom() - top()) need(height);
    }

    void text(const QString& words, const QFont& f, double x, double width)
    {
        const auto lay = lines_of(words, f, width);
        need_if_possible(height_of(*lay));
        for (int i = 0; i < lay->lineCount(); ++i) {
            const QTextLine line = lay->lineAt(i);
            need(height_of(line));
            if (draw_) line.draw(&p_, QPointF(x, y_));
            y_ += height_of(line);
        }
    }

    void put(const Paragraph& para)
    {
        const bool fact = para.kind == Paragraph::Kind::fact;
        if (para.text.empty()) return;
        text(q(para.text), font(para.kind == Paragraph::Kind::caution ? 8 : 10, fact && false), fact ? 4 * mm_ : 0, page_.width() - (fact ? 4 * mm_ : 0));
        y_ += 1.2 * mm_;
    }

    struct Cell {
        std::unique_ptr<QTextLayout> lines;
        double x;
        int next = 0;
    };

    /// As many lines of a cell as the page has room for; how far down they reach.
    double fill(Cell& cell, double from)
    {
        double y = from;
        for (; cell.next < cell.lines->lineCount(); ++cell.next) {
            const QTextLine line = cell.lines->lineAt(cell.next);
            if (y + height_of(line) > bottom() - above_rule_ * mm_) break;
            if (draw_) line.draw(&p_, QPointF(cell.x, y));
            y += height_of(line);
        }
        return y;
    }

    void row(const std::vector<std::string>& texts, const Table& table, bool head)
    {
        const QFont f = font(8.5, head);
        std::vector<Cell> cells;
        double height = 0, x = 0;
        for (std::size_t i = 0; i < texts.size(); ++i) {
            cells.push_back({lines_of(q(texts[i]), f, page_.width() * table.widths[i] - 2 * mm_), x});
            height = std::max(height, height_of(*cells.back().lines));
            x += page_.width() * table.widths[i];
        }
        const double whole = height + (below_rule_ + above_rule_) * mm_;
        const double with_head = whole + 12 * mm_;
        if (!head && y_ + whole > bottom() && with_head <= bottom() - top()) { // a table that goes on says again what its columns are
            next_page();
            row(table.head, table, true);
        }
        need_if_possible(whole);
        for (bool more = true; more;) {
            double end = y_;
            for (Cell& cell : cells) end = std::max(end, fill(cell, y_ + below_rule_ * mm_));
            y_ = end + above_rule_ * mm_;
            more = std::any_of(cells.begin(), cells.end(), [](const Cell& c) { return c.next < c.lines->lineCount(); });
            if (more) next_page();
        }
        if (!draw_) return;
        p_.setPen(QPen(Qt::black, (head ? 0.35 : 0.12) * mm_));
        p_.drawLine(QPointF(0, y_), QPointF(page_.width(), y_));
    }

    void put(const Table& table)
    {
        if (table.rows.empty()) {
            put(Paragraph{"None recorded.", Paragraph::Kind::plain});
            return;
        }
        row(table.head, table, true);
        for (const auto& cells : table.rows) row(cells, table, false);
        y_ += 2.5 * mm_;
    }

    void put(const record::SwingPicture& picture)
    {
        const double height = 62 * mm_;
        need(height + 30 * mm_);
        if (draw_) {
            p_.setFont(font(8, false));
            paint::paint_swing(p_, QRectF(0, y_, page_.width(), height), picture.swing, {Qt::black, QColor(85, 97, 106), QColor(210, 217, 220), Qt::white}, 0.5 * mm_);
        }
        y_ += height + 3 * mm_;
        card(picture.swing);
    }

    void card(const job::SwingView& s)
    {
        if (s.card.empty()) return;
        const auto n = std::min<std::size_t>(6, s.card.size());
        for (std::size_t from = 0; from < s.card.size(); from += n) {
            Table table;
            table.widths.assign(n + 1, 1.0 / static_cast<double>(n + 1));
            table.head = {"For"};
            std::vector<std::string> steer{"Steer"};
            for (std::size_t i = from; i < std::min(from + n, s.card.size()); ++i) {
                table.head.push_back(QString("%1").arg(s.card[i].first, 3, 10, QChar('0')).toStdString());
                steer.push_back(QString("%1").arg(s.card[i].second, 3, 10, QChar('0')).toStdString());
            }
            table.rows = {steer};
            put(table);
        }
    }

    static constexpr double below_rule_ = 0.6, above_rule_ = 1.0; // millimetres between a row's lines and the rules around it

    QPdfWriter& writer_;
    QPainter& p_;
    const record::Report& report_;
    bool draw_;
    int total_, number_ = 1;
    double mm_, y_ = 0;
    QRectF page_;
};

/// In memory: the printing engine tells nobody when a disk took less than it wrote.
Result<Bytes> pdf_of(const record::Report& report, Paper paper)
{
    QByteArray bytes;
    QBuffer buffer(&bytes);
    buffer.open(QIODevice::WriteOnly);
    QPdfWriter writer(&buffer);
    writer.setPdfVersion(QPagedPaintDevice::PdfVersion_A1b);
    writer.setResolution(600);
    writer.setPageSize(QPageSize(paper == Paper::a4 ? QPageSize::A4 : QPageSize::Letter));
    writer.setPageMargins(QMarginsF(18, 14, 16, 12), QPageLayout::Millimeter);
    writer.setTitle("Chockside record " + q(report.job));
    writer.setCreator("Chockside");
    QPainter painter;
    if (!painter.begin(&writer)) return fail("no_memory");
    int total = 0;
    {
        Pages count(writer, painter, report, false, 0);
        for (const auto& s : report.sections) count.section(s);
        total = count.pages();
    }
    Pages pages(writer, painter, report, true, total);
    for (const auto& s : report.sections) pages.section(s);
    if (!painter.end()) return fail("no_memory");
    const ByteView all = std::as_bytes(std::span(bytes.constData(), static_cast<std::size_t>(bytes.size())));
    return Bytes(all.begin(), all.end());
}

} // namespace

Status write_pdf(const record::Report& report, Paper paper, Disk& disk, const std::string& path)
{
    const auto drawn = pdf_of(report, paper);
    return drawn ? disk.write_whole(path, *drawn) : Status(Unexpected{drawn.error()});
}

} // namespace chockside::report
