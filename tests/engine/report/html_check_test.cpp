// SPDX-License-Identifier: MIT
#include "tests/engine/report/html_check.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>

#include "engine/base/text.h"

namespace spanwright::report::sample {

namespace {

const std::set<std::string, std::less<>> kVoid = {"meta", "br", "wbr", "col"};
const std::set<std::string, std::less<>> kForeign = {"polyline", "polygon", "rect", "circle", "path", "line"};
const std::set<std::string, std::less<>> kKnown = {
    "html",  "head",     "meta",    "title", "style",  "body",  "section", "table",      "thead",   "tbody", "tr",   "td",       "th",         "caption", "h1",
    "h2",    "h3",       "h4",      "p",     "ul",     "li",    "a",       "code",       "strong",  "span",  "div",  "figure",   "figcaption", "br",      "wbr",
    "svg",   "polyline", "polygon", "rect",  "circle", "text",  "tspan",   "defs",       "pattern", "path",  "math", "mrow",     "mi",         "mn",      "mo",
    "mtext", "mspace",   "msub",    "msup",  "mfrac",  "msqrt", "mroot",   "munderover", "mtable",  "mtr",   "mtd",  "colgroup", "col"};
const std::set<std::string, std::less<>> kBlocks = {"p", "div", "table", "ul", "figure", "section", "h1", "h2", "h3", "h4"};
const std::set<std::string, std::less<>> kParagraphs = {"p", "span", "h1", "h2", "h3", "h4", "caption"};

/// Where each element may stand, as far as tables and formulas are concerned.
bool fits(const std::string& child, const std::string& parent) {
    if (child == "tr") return parent == "thead" || parent == "tbody";
    if (child == "td" || child == "th") return parent == "tr";
    if (child == "thead" || child == "tbody" || child == "caption" || child == "colgroup") return parent == "table";
    if (child == "col" || parent == "colgroup") return child == "col" && parent == "colgroup";
    if (child == "li") return parent == "ul";
    if (child == "mtr") return parent == "mtable";
    if (child == "mtd") return parent == "mtr";
    if (parent == "table" || parent == "ul" || parent == "tr" || parent == "tbody" || parent == "thead") return false;
    return true;
}

std::size_t childrenWanted(const std::string& name) {
    if (name == "msub" || name == "msup" || name == "mfrac" || name == "mroot") return 2;
    if (name == "munderover") return 3;
    return 0;
}

class Checker {
public:
    explicit Checker(std::string_view page) : m_page(page) {}

    std::vector<std::string> run() {
        if (!base::isUtf8(m_page)) fault("not UTF-8");
        for (const char c : m_page) {
            if ((static_cast<unsigned char>(c) < 0x20 && c != '\n') || c == 0x7f) {
                fault("control character");
                break;
            }
        }
        constexpr std::string_view kDoctype = "<!DOCTYPE html>\n";
        if (m_page.substr(0, kDoctype.size()) != kDoctype) fault("no doctype");
        m_at = kDoctype.size();
        while (m_at < m_page.size()) {
            if (m_page[m_at] == '<')
                tag();
            else
                text();
        }
        for (const Open& o : m_open) fault("never closed: " + o.name);
        for (const std::string& target : m_links) {
            if (m_ids.count(target) == 0) fault("link to nowhere: " + target);
        }
        return std::move(m_faults);
    }

private:
    struct Open {
        std::string name;
        std::size_t children = 0;
    };
    std::string_view m_page;
    std::size_t m_at = 0;
    std::vector<Open> m_open;
    std::vector<std::string> m_faults;
    std::set<std::string> m_ids;
    std::vector<std::string> m_links;

    void fault(std::string what) { m_faults.push_back(std::move(what)); }

    void references(std::string_view s) {
        for (std::size_t at = s.find('&'); at != std::string_view::npos; at = s.find('&', at + 1)) {
            static const std::vector<std::string_view> kAllowed = {"&amp;", "&lt;", "&gt;", "&quot;", "&#39;"};
            if (std::none_of(kAllowed.begin(), kAllowed.end(), [&](std::string_view a) { return s.substr(at, a.size()) == a; }))
                fault("bare & in: " + std::string(s.substr(at, 20)));
        }
    }

    void text() {
        const std::size_t end = std::min(m_page.find('<', m_at), m_page.size());
        const std::string_view s = m_page.substr(m_at, end - m_at);
        references(s);
        if (s.find("]]>") != std::string_view::npos) fault("]]> in text");
        const bool blank = s.find_first_not_of(" \n") == std::string_view::npos;
        if (!blank && m_open.empty()) fault("text outside of all elements");
        if (!blank && !m_open.empty() &&
            (m_open.back().name == "tr" || m_open.back().name == "table" || m_open.back().name == "tbody" || m_open.back().name == "ul"))
            fault("text directly in " + m_open.back().name);
        m_at = end;
    }

    void close(const std::string& name) {
        if (m_open.empty() || m_open.back().name != name) {
            fault("</" + name + "> closes " + (m_open.empty() ? "nothing" : m_open.back().name));
            return;
        }
        const std::size_t wanted = childrenWanted(name);
        if (wanted != 0 && m_open.back().children != wanted) fault(name + " has " + std::to_string(m_open.back().children) + " children");
        m_open.pop_back();
    }

    std::string word() {
        const std::size_t begin = m_at;
        while (m_at < m_page.size() &&
               (std::isalnum(static_cast<unsigned char>(m_page[m_at])) != 0 || m_page[m_at] == '-' || m_page[m_at] == ':' || m_page[m_at] == '_'))
            ++m_at;
        return std::string(m_page.substr(begin, m_at - begin));
    }

    void attribute(const std::string& element, std::set<std::string>& seen) {
        const std::string name = word();
        if (name.empty()) {
            fault("unreadable attribute in " + element);
            ++m_at;
            return;
        }
        if (!seen.insert(name).second) fault("attribute twice: " + name);
        if (m_page.substr(m_at, 2) != "=\"") {
            fault("attribute without quotes: " + name);
            return;
        }
        m_at += 2;
        const std::size_t end = std::min(m_page.find('"', m_at), m_page.size());
        const std::string value(m_page.substr(m_at, end - m_at));
        m_at = end + 1;
        references(value);
        if (value.find('<') != std::string::npos) fault("< in an attribute");
        if (name.rfind("on", 0) == 0 || name == "src" || name == "srcdoc" || name == "action" || name == "style") fault("attribute that must not be: " + name);
        if (name == "id" && (value.empty() || !m_ids.insert(value).second)) fault("id twice or empty: " + value);
        if (name == "href") {
            if (value.empty() || value[0] != '#')
                fault("link out of the page: " + value);
            else
                m_links.push_back(value.substr(1));
        }
        if (value.find("http") != std::string::npos && name != "xmlns" && !(element == "meta" && name == "http-equiv")) fault("address: " + value);
        if (value.find("url(") != std::string::npos && value.rfind("url(#", 0) != 0) fault("url: " + value);
    }

    void tag() {
        ++m_at;
        if (m_at < m_page.size() && m_page[m_at] == '/') {
            ++m_at;
            const std::string name = word();
            if (m_at >= m_page.size() || m_page[m_at] != '>') fault("unreadable end of " + name);
            m_at = std::min(m_page.find('>', m_at), m_page.size() - 1) + 1;
            close(name);
            return;
        }
        const std::string name = word();
        if (kKnown.count(name) == 0) fault("element that must not be: " + name);
        if (m_open.empty() ? name != "html" : !fits(name, m_open.back().name)) fault(name + " in " + (m_open.empty() ? "nothing" : m_open.back().name));
        for (const Open& o : m_open) {
            if (kBlocks.count(name) != 0 && kParagraphs.count(o.name) != 0) fault(name + " inside " + o.name);
        }
        if (!m_open.empty()) ++m_open.back().children;
        std::set<std::string> seen;
        while (m_at < m_page.size() && m_page[m_at] == ' ') {
            ++m_at;
            attribute(name, seen);
        }
        const bool selfClosed = m_at < m_page.size() && m_page[m_at] == '/';
        if (selfClosed) ++m_at;
        if (m_at >= m_page.size() || m_page[m_at] != '>') {
            fault("unreadable tag " + name);
            m_at = std::min(m_page.find('>', m_at), m_page.size() - 1);
        }
        ++m_at;
        // HTML takes <p/> for <p>: only void and foreign elements may close themselves, and void ones must.
        if (selfClosed && kVoid.count(name) == 0 && kForeign.count(name) == 0) fault("closes itself: " + name);
        if (!selfClosed && kVoid.count(name) != 0) fault("void element left open: " + name);
        if (selfClosed) return;
        m_open.push_back({name});
        if (name == "style") {
            const std::size_t end = std::min(m_page.find("</style>", m_at), m_page.size());
            const std::string_view css = m_page.substr(m_at, end - m_at);
            if (css.find_first_of("<&") != std::string_view::npos || css.find("]]>") != std::string_view::npos) fault("style reads differently as XML");
            if (css.find("@import") != std::string_view::npos || css.find("url(") != std::string_view::npos || css.find("http") != std::string_view::npos)
                fault("style loads something");
            m_at = end;
        }
    }
};

} // namespace

std::vector<std::string> pageFaults(std::string_view page) { return Checker(page).run(); }

TEST_CASE("the page checker finds what is wrong") {
    const auto page = [](const std::string& body) {
        return "<!DOCTYPE html>\n<html xmlns=\"http://www.w3.org/1999/xhtml\"><head><title>t</title></head><body>" + body + "</body></html>\n";
    };
    CHECK(pageFaults(page("<p>a &amp; b</p>")).empty());
    for (const char* bad : {"<p>a",
                            "<p>a & b</p>",
                            "<p class=x>a</p>",
                            "<p class=\"a\" class=\"b\">x</p>",
                            "<p id=\"a\">x</p><p id=\"a\">y</p>",
                            "<a href=\"#nowhere\">x</a>",
                            "<script>x</script>",
                            "<p onclick=\"x\">y</p>",
                            "<a href=\"http://a\">x</a>",
                            "<p><div>x</div></p>",
                            "<div/>",
                            "<table><tr><td>x</td></tr></table>",
                            "<b>x</b>",
                            "<strong><code>x</strong></code>",
                            "<math><mfrac><mn>1</mn></mfrac></math>",
                            "<p>a < b</p>",
                            "<p style=\"x\">y</p>",
                            "<style>a { background: url(x); }</style>",
                            "<p>\x01</p>",
                            "<ul>x</ul>",
                            "<meta>"}) {
        CAPTURE(bad);
        CHECK_FALSE(pageFaults(page(bad)).empty());
    }
}

} // namespace spanwright::report::sample
