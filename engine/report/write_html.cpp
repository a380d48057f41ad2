// SPDX-License-Identifier: MIT
#include "engine/report/clean.h"
#include "engine/report/html_style.h"
#include "engine/report/write.h"

namespace spanwright::report {

namespace {

constexpr std::size_t kManyColumns = 7;
constexpr std::size_t kLongRow = 8;   ///< blocks of a line of a calculation
constexpr std::size_t kLongMath = 46; ///< columns of plain text that fit the middle column

std::string idAttribute(const std::string& id) { return id.empty() ? "" : " id=\"" + htmlText(id) + "\""; }

std::string inlineHtml(const Inline& i) {
    switch (i.kind) {
    case Inline::Kind::Text: return htmlText(asPrinted(i.text));
    case Inline::Kind::Strong: return "<strong>" + htmlText(asPrinted(i.text)) + "</strong>";
    case Inline::Kind::Faint: return "<span class=\"faint\">" + htmlText(asPrinted(i.text)) + "</span>";
    case Inline::Kind::Code: return "<code>" + htmlText(i.text) + "</code>";
    case Inline::Kind::Math:
        if (!i.target.empty()) return "<a href=\"#" + htmlText(i.target) + "\">" + writeMathml(i.math, false) + "</a>";
        return writeMathml(i.math, false);
    case Inline::Kind::Boxed: return std::string("<span class=\"stamp ") + stampClass(i.stamp) + "\">" + htmlText(stampText(i.stamp)) + "</span>";
    case Inline::Kind::Link: return "<a href=\"#" + htmlText(i.target) + "\">" + htmlText(i.text) + "</a>";
    }
    return {};
}

std::string lineHtml(const Inlines& line) {
    std::string out;
    for (const Inline& i : line) out += inlineHtml(i);
    return out;
}

class Writer {
public:
    [[nodiscard]] std::string document(const Document& d) {
        const std::string title = cleaned(d.title).empty() ? "Calculation" : d.title;
        m_out = "<!DOCTYPE html>\n<html xmlns=\"http://www.w3.org/1999/xhtml\" lang=\"en\" xml:lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n"
                "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src &#39;none&#39;; style-src &#39;unsafe-inline&#39;\"/>\n"
                "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n<meta name=\"color-scheme\" content=\"light dark\"/>\n<title>" +
                htmlText(title) + "</title>\n<style>" + htmlStyle(d) + "</style>\n</head>\n<body>\n";
        for (const Section& s : d.sections) section(d, s);
        return m_out + "</body>\n</html>\n";
    }

private:
    std::string m_out;
    int m_figures = 0;

    void section(const Document& d, const Section& s) {
        const char* span = s.calculation ? " colspan=\"3\"" : "";
        m_out += "<section" + idAttribute(s.id) + (s.smallPrint ? " class=\"small-print\"" : "") + ">\n<table class=\"page\"" +
                 (s.calculation ? "" : " role=\"presentation\"") + ">\n" +
                 (s.calculation ? "<colgroup><col class=\"reference\"/><col/><col class=\"result\"/></colgroup>\n" : "") +
                 "<thead>\n<tr class=\"running\"><td" + span + ">";
        if (!s.mark.empty()) m_out += "<span class=\"mark\">" + htmlText(s.mark) + "</span> ";
        m_out += htmlText(d.identity) + " · " + htmlText(s.running) + " · inputs " + htmlText(d.fingerprint) + "</td></tr>\n";
        if (s.calculation) m_out += "<tr><th scope=\"col\">reference</th><th scope=\"col\">calculation</th><th scope=\"col\">result</th></tr>\n";
        m_out += "</thead>\n<tbody>\n";
        if (!s.title.empty()) m_out += std::string("<tr><td") + span + "><h2>" + htmlText(s.title) + "</h2></td></tr>\n";
        for (const Block& b : s.blocks) {
            if (const auto* line = std::get_if<CalcLine>(&b.is); line != nullptr && s.calculation) {
                calcRow(*line);
                continue;
            }
            m_out += std::string("<tr><td") + span + ">";
            block(b);
            m_out += "</td></tr>\n";
        }
        m_out += "</tbody>\n</table>\n</section>\n";
    }

    void calcRow(const CalcLine& c) {
        // What is printed is broken within a row only where it would leave most of a page free.
        m_out += std::string(c.calculation.size() > kLongRow ? "<tr class=\"calc long\"" : "<tr class=\"calc\"") + idAttribute(c.id) +
                 "><td class=\"reference\">" + lineHtml(c.reference) + "</td><td class=\"calculation\">";
        for (const Block& b : c.calculation) block(b);
        m_out += "</td><td class=\"result\">";
        for (const Inlines& r : c.result) m_out += "<p>" + lineHtml(r) + "</p>";
        m_out += "</td></tr>\n";
    }

    void block(const Block& b) {
        std::visit([this](const auto& is) { put(is); }, b.is);
    }
    void put(const Heading& h) {
        const std::string tag = "h" + std::to_string(h.level);
        m_out += "<" + tag + idAttribute(h.id) + ">" + lineHtml(h.text) + "</" + tag + ">";
    }
    void put(const Paragraph& p) {
        const char* role = p.role == Paragraph::Role::Note ? " class=\"note\"" : p.role == Paragraph::Role::Remark ? " class=\"remark\"" : "";
        m_out += std::string("<p") + role + ">" + lineHtml(p.text) + "</p>";
    }
    void put(const Bullets& b) { items(b.items); }
    void items(const std::vector<Bullets::Item>& list) {
        if (list.empty()) return;
        m_out += "<ul>";
        for (const Bullets::Item& i : list) {
            m_out += "<li>" + lineHtml(i.text);
            items(i.below);
            m_out += "</li>";
        }
        m_out += "</ul>";
    }
    void put(const Table& t) {
        m_out += std::string("<div class=\"scroll\"><table class=\"small") + (t.ruled ? " ruled" : "") + (t.boxed ? " boxed" : "") + "\">";
        if (!t.caption.empty()) m_out += "<caption>" + htmlText(t.caption) + "</caption>";
        const auto cell = [](const Table::Column& c) {
            return c.align == Table::Align::Right ? (c.wraps ? " class=\"right\"" : " class=\"right whole\"") : c.wraps ? "" : " class=\"whole\"";
        };
        // Words beside so many columns would be broken one by one: they stand below each row.
        const bool below = t.ruled && !t.boxed && t.columns.size() > kManyColumns && t.columns.back().wraps;
        const std::size_t beside = t.columns.size() - (below ? 1 : 0);
        if (t.ruled) {
            m_out += "<thead><tr>";
            for (std::size_t c = 0; c < beside; ++c)
                m_out += std::string("<th scope=\"col\"") + cell(t.columns[c]) + ">" + lineHtml(headOf(t.columns[c])) + "</th>";
            m_out += "</tr></thead>";
        }
        m_out += "<tbody>";
        for (const auto& row : t.rows) {
            m_out += below ? "<tr class=\"over\">" : "<tr>";
            for (std::size_t c = 0; c < beside; ++c)
                m_out += std::string("<td") + cell(t.columns[c]) + ">" + (c < row.size() ? lineHtml(row[c]) : "") + "</td>";
            m_out += "</tr>";
            if (!below) continue;
            const std::string& head = t.columns.back().head;
            m_out += "<tr><td class=\"below\" colspan=\"" + std::to_string(beside) + "\">";
            if (head != "what") m_out += "<span class=\"faint\">" + htmlText(head) + ": </span>";
            m_out += (beside < row.size() ? lineHtml(row[beside]) : "") + "</td></tr>";
        }
        m_out += "</tbody></table></div>";
    }
    void put(const Equation& e) {
        m_out += "<div class=\"equation\">";
        for (const Equation::Line& l : e.lines) {
            meaning::Box lead = l.left;
            const bool led = !lead.text.empty() || !lead.children.empty();
            m_out += led ? "<div class=\"step\">" : "<div class=\"step on\">";
            meaning::Box row;
            if (led) row.children.push_back(std::move(lead));
            if (!l.relation.empty()) row.children.push_back(meaning::Box{meaning::Box::Kind::Operator, l.relation, {}});
            bool first = true;
            if (l.right.text.empty() && l.right.children.empty())
                m_out += writeMathml(row, false);
            else {
                // A relation that leads a line is set as one, not as a sign.
                if (!led && !l.relation.empty())
                    m_out += "<span>" + htmlText(l.relation) + "</span>\u00a0"; // never alone on a line
                else if (!row.children.empty())
                    m_out += writeMathml(row, false) + " ";
                for (const std::string& piece : writeMathmlPieces(l.right, kLongMath)) {
                    m_out += (first ? "" : " ") + piece;
                    first = false;
                }
            }
            m_out += "</div>";
        }
        m_out += "</div>";
    }
    void put(const CalcLine& c) {
        for (const Block& b : c.calculation) block(b);
        for (const Inlines& r : c.result) m_out += "<p>" + lineHtml(r) + "</p>";
        if (!c.reference.empty()) m_out += "<p class=\"faint\">" + lineHtml(c.reference) + "</p>";
    }
    void put(const Framed& f) {
        m_out += "<div class=\"framed\"><p class=\"frame-title\">" + htmlText(f.title) + "</p>";
        for (const Block& b : f.blocks) block(b);
        m_out += "</div>";
    }
    void put(const Figure& f) {
        m_out += "<figure>" + writeSvg(f.drawing, "f" + std::to_string(++m_figures), false);
        if (!f.caption.empty()) m_out += "<figcaption>" + htmlText(asPrinted(f.caption)) + "</figcaption>";
        m_out += "</figure>";
    }
};

} // namespace

std::string writeHtml(const Document& d) { return Writer().document(d); }

} // namespace spanwright::report
