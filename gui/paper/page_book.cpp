// SPDX-License-Identifier: MIT
#include "gui/paper/page_book.h"

#include <QCoreApplication>
#include <QPainter>

#include <algorithm>
#include <deque>
#include <functional>

#include "engine/report/clean.h"
#include "gui/paper/block_setter.h"

namespace spanwright::paper {

namespace {

constexpr qreal kSmall = 6.5; ///< points, of what repeats on each page
constexpr qreal kTop = points(9);
constexpr std::size_t kMostHeadLines = 5;
constexpr qreal kSmallPrint = 1.2;  ///< against the usual letters
constexpr qreal kLead = 0.15;       ///< of a page: no less stands below a member's heading
constexpr qreal kLeft = 0.55;       ///< of a page: so much stands where drawings leave it to stay together
constexpr qreal kLeastPrint = 0.95; ///< read at arm's length, but no smaller
constexpr qreal kFewLines = 0.3;    ///< of a page: a last page that holds less is saved if that can be
constexpr qreal kWholeThere = 0.1;  ///< of a page: lines of the calculation that stay whole then

QString words(const char* text) { return QCoreApplication::translate("paper", text); }

Mark textAt(Types& types, Voice voice, qreal size, const QString& text, QPointF base, bool faint, bool toTheLeft = false) {
    Types::Face& face = types.face(voice, size);
    const qreal wide = face.width(text);
    if (toTheLeft) base.rx() -= wide;
    return {Mark::Text{face.font, text, base, faint}, QRectF(base.x(), base.y() - face.ascent, wide, face.ascent + face.descent)};
}

} // namespace

namespace {

struct Pages {
    int count = 0;
    qreal last = 0; ///< where the last one ends
};
/// How many pages a section's strips need.
Pages pagesOf(const Strips& strips, qreal head, qreal room);

} // namespace

PageBook::PageBook(const report::Document& document, const PageFormat& format, const GoOn& goOn) : m_format(format) {
    m_format.largePrint = document.largePrint;
    const auto text = [](const std::string& s) { return QString::fromStdString(report::cleaned(s)); };
    m_title = text(document.title);
    m_about = {text(document.author), document.fingerprint.empty() ? QString() : words("inputs %1").arg(text(document.fingerprint)), text(document.date)};
    BlockSetter setter(m_types, m_format);
    std::size_t done = 0;
    for (const report::Section& s : document.sections) {
        if (goOn && !goOn(done++, document.sections.size())) return;
        const Strip head = headOf(document, s);
        qreal enlarged = m_format.enlarged();
        if (s.smallPrint) enlarged = std::min(enlarged, kSmallPrint);
        Strips strips = setter.section(s, enlarged);
        if (s.onePage) {
            // Step by step smaller; what does not fit even in the smallest letters keeps those it had.
            const auto fits = [&](const Strips& set) { return head.height + heightOf(set) <= m_format.body().height(); };
            for (qreal size = enlarged; !fits(strips) && size > kLeastPrint; size -= 0.05) {
                Strips smaller = setter.section(s, size - 0.05);
                if (fits(smaller)) strips = std::move(smaller);
            }
        }
        // A member's last page with a few lines is not turned to if the pages before it have room for them.
        if (s.calculation) {
            const qreal room = m_format.body().height();
            const Pages usual = pagesOf(strips, head.height, room);
            if (usual.count > 1 && usual.last - head.height < room * kFewLines) {
                setter.keepWhole(kWholeThere);
                Strips closer = setter.section(s, enlarged);
                setter.keepWhole(BlockSetter::kWholeLines);
                if (pagesOf(closer, head.height, room).count < usual.count) strips = std::move(closer);
            }
        }
        fill(s, std::move(strips), head);
    }
    foot(document);
}

Strip PageBook::headOf(const report::Document& d, const report::Section& s) {
    const QRectF body = m_format.body();
    Strip out;
    qreal x = 0;
    if (!s.mark.empty()) {
        // The mark in a box of its own, large enough to leaf through pages by.
        Types::Face& face = m_types.face(Voice::Strong, 10);
        LineStyle style;
        style.size = 10;
        style.voice = Voice::Strong;
        const std::vector<SetLine> lines = setLines(m_types, {report::plainText(s.mark)}, body.width() * 0.25, style);
        qreal wide = 0, y = points(2);
        for (SetLine line : lines) {
            wide = std::max(wide, line.width);
            if (y > points(2) + 2 * face.ascent) break;
            for (Mark& m : line.marks) {
                m.shift(points(4), y);
                out.marks.push_back(std::move(m));
            }
            y += line.height;
        }
        y += points(2);
        const QRectF box(0, 0, wide + points(8), y);
        out.marks.push_back(ruleMark(box.topLeft(), box.topRight(), points(0.8), false));
        out.marks.push_back(ruleMark(box.bottomLeft(), box.bottomRight(), points(0.8), false));
        out.marks.push_back(ruleMark(box.topLeft(), box.bottomLeft(), points(0.8), false));
        out.marks.push_back(ruleMark(box.topRight(), box.bottomRight(), points(0.8), false));
        out.height = box.height();
        x = box.width() + points(7);
    }
    LineStyle style;
    style.size = kSmall;
    std::vector<SetLine> lines = setLines(m_types, {report::strongText(d.identity)}, body.width() - x, style);
    std::vector<SetLine> more = setLines(m_types, {report::faintText(s.running)}, body.width() - x, style);
    if (lines.size() > 2) lines.resize(2);
    if (more.size() > kMostHeadLines) {
        more.resize(kMostHeadLines - 1);
        for (SetLine& l : setLines(m_types, {report::faintText(words("... the rest stands on the cover").toStdString())}, body.width() - x, style))
            more.push_back(std::move(l));
    }
    for (SetLine& l : more) lines.push_back(std::move(l));
    qreal y = 0;
    for (SetLine& l : lines) {
        for (Mark& m : l.marks) {
            m.shift(x, y);
            out.marks.push_back(std::move(m));
        }
        y += l.height;
    }
    out.height = std::max(out.height, y) + points(4);
    out.marks.push_back(ruleMark({0, out.height}, {body.width(), out.height}, points(0.8), false));
    if (s.calculation) {
        const Columns c(body.width());
        const Types::Face& face = m_types.face(Voice::Plain, kSmall);
        const qreal base = out.height + points(2) + face.ascent;
        const auto name = [&](qreal at, const char* text) { out.marks.push_back(textAt(m_types, Voice::Plain, kSmall, words(text), {at, base}, true)); };
        name(0, "reference");
        name(c.calculationLeft(), "calculation");
        name(c.resultLeft(), "result");
        out.height = base + face.descent + points(2);
        out.marks.push_back(ruleMark({0, out.height}, {body.width(), out.height}, points(0.4), true));
    }
    out.height += kTop;
    return out;
}

namespace {

/// Strips of one section on pages. A drawing that does not fit where it stands is made a little smaller; else what follows
/// comes before it, up to the next member, and it stands at the top of the next page.
class Filling {
public:
    /// `begin` makes a page and gives where its body begins; `put` keeps a strip at a height of the last page.
    Filling(qreal room, std::function<qreal()> begin, std::function<void(Strip, qreal)> put) : m_room(room), m_begin(std::move(begin)), m_put(std::move(put)) {
        newPage();
    }

    void run(Strips strips) {
        // Before they are moved to their places.
        m_goesOn.assign(strips.size() + 1, 0);
        for (std::size_t i = 1; i < strips.size(); ++i) {
            const Strip &before = strips[i - 1], &s = strips[i];
            m_goesOn[i] = s.head && !s.isHead && (before.isHead || before.head == s.head) ? 1 : 0;
        }
        for (std::size_t from = 0; from < strips.size();) {
            if (strips[from].leads) flush();
            if (strips[from].floats) {
                m_waiting.push_back(std::move(strips[from++]));
                settle();
                continue;
            }
            from = group(strips, from);
            // Nothing comes between the rows of a table.
            if (m_goesOn[from] == 0) settle();
        }
        flush();
    }

private:
    qreal m_room;
    std::function<qreal()> m_begin;
    std::function<void(Strip, qreal)> m_put;
    std::deque<Strip> m_waiting; ///< drawings, in their order
    std::vector<char> m_goesOn;  ///< by strip: it is a row of the table that is being set
    qreal m_y = 0, m_top = 0;
    bool m_empty = true; ///< nothing stands on the page
    bool m_bare = true;  ///< nothing but drawings that waited: a table that goes on repeats its head

    void newPage() {
        m_y = m_top = m_begin();
        m_empty = m_bare = true;
    }
    [[nodiscard]] qreal headOf(const Strip& s) const { return s.head && !s.isHead ? s.head->height : 0; }
    /// Where the page would end with it.
    [[nodiscard]] qreal with(const Strip& first, qreal tall) const { return m_y + (m_bare ? headOf(first) : 0) + (m_empty ? 0 : first.above) + tall; }
    void place(Strip strip) {
        if (m_bare && headOf(strip) > 0 && !strip.floats) {
            if (!m_empty) m_y += points(6);
            m_put(*strip.head, m_y);
            m_y += strip.head->height;
            m_empty = false;
        } else if (!m_empty)
            m_y += strip.above;
        const qreal y = m_y;
        m_y += strip.height;
        m_empty = false;
        m_bare = m_bare && strip.floats;
        m_put(std::move(strip), y);
    }
    /// Puts a drawing here if there is room for it, perhaps smaller.
    [[nodiscard]] bool placeDrawing(Strip& s) {
        if (with(s, s.height) > m_room && !m_empty) {
            const qreal least = shrunk(s, s.least).height;
            if (with(s, least) > m_room) return false;
            const qreal spare = s.height - least, over = with(s, s.height) - m_room;
            // A hair smaller than what just fits: numbers are rounded.
            const qreal by = 1 - (1 - s.least) * std::min<qreal>(1, over / spare + 1e-6);
            s = shrunk(std::move(s), by);
        }
        place(std::move(s));
        return true;
    }
    /// Drawings that have room now.
    void settle() {
        while (!m_waiting.empty() && placeDrawing(m_waiting.front())) m_waiting.pop_front();
    }
    void flush() {
        for (settle(); !m_waiting.empty(); settle()) newPage();
    }
    void turnOver() {
        newPage();
        settle();
    }

    /// Behind a heading there is more than drawings, up to the next heading.
    [[nodiscard]] static bool hasText(const Strips& all, std::size_t from) {
        for (std::size_t i = from; i < all.size() && all[i].depth < 0; ++i)
            if (!all[i].floats) return true;
        return false;
    }
    /// What stays together, by places in the list.
    struct Group {
        std::vector<std::size_t> strips, behind; ///< drawings behind it wait
        std::size_t end = 0;
        qreal tall = 0; ///< with its drawings as small as they may be
    };
    [[nodiscard]] Group groupAt(const Strips& all, std::size_t from) const {
        Group g;
        const qreal wanted = all[from].leads ? m_room * kLead : 0;
        g.end = from;
        for (bool more = true; more && g.end < all.size(); ++g.end) {
            const Strip& s = all[g.end];
            if (g.end > from && s.leads) break;
            const qreal own = (g.end > from ? s.above : 0) + shrunk(s, s.least).height;
            // A drawing behind a heading stands there if it fits; else the heading stays with what comes next, unless that is none of its text.
            if (s.floats && hasText(all, g.end) && (!m_waiting.empty() || !g.behind.empty() || with(all[from], g.tall + own) > m_room)) {
                g.behind.push_back(g.end);
                continue;
            }
            g.tall += own;
            g.strips.push_back(g.end);
            more = s.keepWithNext || g.tall < wanted || (s.floats && staysWithNext(all, from, g));
        }
        return g;
    }
    /// Drawings that end a part stay together if they fit here, or if the page that they leave is well filled.
    [[nodiscard]] bool staysWithNext(const Strips& all, std::size_t from, const Group& g) const {
        qreal tall = g.tall;
        std::size_t end = g.end + 1;
        for (; end < all.size() && all[end].floats; ++end) tall += all[end].above + shrunk(all[end], all[end].least).height;
        if (end == g.end + 1 || (end < all.size() && all[end].depth < 0)) return false;
        return with(all[from], tall) <= m_room || (m_y >= m_room * kLeft && m_top + tall <= m_room);
    }
    /// Makes the drawings of a group smaller, all alike, as far as it needs.
    void shrinkAlike(Strips& all, const Group& g) const {
        qreal tall = 0, spare = 0;
        for (const std::size_t i : g.strips) {
            tall += (i == g.strips.front() ? 0 : all[i].above) + all[i].height;
            if (all[i].least < 1) spare += all[i].height - shrunk(all[i], all[i].least).height;
        }
        const qreal over = with(all[g.strips.front()], tall) - m_room;
        if (over <= 0 || spare <= 0) return;
        // A hair smaller than what just fits: numbers are rounded.
        const qreal share = std::min<qreal>(1, over / spare + 1e-6);
        for (const std::size_t i : g.strips)
            if (all[i].least < 1) all[i] = shrunk(std::move(all[i]), 1 - (1 - all[i].least) * share);
    }

    /// Sets what stays together from here on; gives where the next begins.
    std::size_t group(Strips& all, std::size_t from) {
        Group g = groupAt(all, from);
        // Drawings keep their order.
        if (std::any_of(g.strips.begin(), g.strips.end(), [&](std::size_t i) { return all[i].floats; })) flush();
        // What fits on no page is broken where it has to be, and begins where it stands if a good part of it fits there.
        for (int tries = 0; tries < 2 && !m_empty && with(all[from], g.tall) > m_room; ++tries) {
            const bool fitsAlone = m_top + headOf(all[from]) + g.tall <= m_room;
            if (!fitsAlone && m_y <= m_room * 0.7) break;
            m_bare || m_goesOn[from] != 0 ? newPage() : turnOver();
            g = groupAt(all, from);
        }
        if (g.strips.size() > 1) shrinkAlike(all, g);
        for (const std::size_t i : g.strips) {
            Strip& s = all[i];
            if (s.least < 1 && placeDrawing(s)) continue;
            if (!m_empty && with(s, s.height) > m_room) m_bare || m_goesOn[i] != 0 ? newPage() : turnOver();
            if (!m_empty && with(s, s.height) > m_room) newPage();
            place(std::move(s));
        }
        for (const std::size_t i : g.behind) m_waiting.push_back(std::move(all[i]));
        return g.end;
    }
};

Pages pagesOf(const Strips& strips, qreal head, qreal room) {
    Pages out;
    const auto begin = [&] {
        ++out.count;
        out.last = head;
        return head;
    };
    const auto put = [&](const Strip& strip, qreal y) { out.last = std::max(out.last, y + strip.height); };
    Filling(room, begin, put).run(strips);
    return out;
}

} // namespace

void PageBook::fill(const report::Section& s, Strips strips, const Strip& head) {
    const QRectF body = m_format.body();
    const auto begin = [&] {
        Page page;
        page.mark = s.mark;
        for (Mark m : head.marks) {
            m.shift(body.left(), body.top());
            page.furniture.push_back(std::move(m));
        }
        m_pages.push_back(std::move(page));
        return head.height;
    };
    const auto put = [&](Strip strip, qreal y) {
        const Place here{pageCount(), body.top() + y};
        for (const std::string& id : strip.ids) m_places.try_emplace(id, here);
        if (strip.depth >= 0 && !strip.bookmark.isEmpty()) m_bookmarks.push_back({strip.depth, strip.bookmark, here});
        m_pages.back().strips.emplace_back(std::move(strip), y);
    };
    Filling(body.height(), begin, put).run(std::move(strips));
}

void PageBook::foot(const report::Document& d) {
    const QRectF body = m_format.body(), margin = m_format.remarks();
    const qreal line = body.bottom() + points(6);
    const Types::Face& face = m_types.face(Voice::Plain, kSmall);
    const QString inputs = words("inputs %1").arg(QString::fromStdString(report::cleaned(d.fingerprint)));
    for (std::size_t i = 0; i < m_pages.size(); ++i) {
        std::vector<Mark>& marks = m_pages[i].furniture;
        marks.push_back(ruleMark({body.left(), line}, {body.right(), line}, points(0.8), false));
        const qreal base = line + points(3) + face.ascent;
        marks.push_back(textAt(m_types, Voice::Plain, kSmall, inputs, {body.left(), base}, false));
        marks.push_back(textAt(m_types, Voice::Strong, kSmall, words("page %1 of %2").arg(i + 1).arg(m_pages.size()), {body.right(), base}, false, true));
        if (margin.isEmpty()) continue;
        const qreal x = margin.left() - millimetres(1.5);
        marks.push_back(
            {Mark::Line{{x, margin.top()}, {x, margin.bottom()}, points(0.6), Mark::Line::Stroke::Dotted, true}, QRectF(x, margin.top(), 0, margin.height())});
        marks.push_back(textAt(m_types, Voice::Plain, kSmall, words("remarks"), {margin.left(), margin.top() + face.ascent}, true));
    }
}

int PageBook::pageOf(const std::string& id) const {
    const auto found = m_places.find(id);
    return found == m_places.end() ? 0 : found->second.page;
}

std::vector<PageBook::Link> PageBook::links(int page) const {
    std::vector<Link> out;
    for (const Mark& m : marks(page)) {
        const auto* number = std::get_if<Mark::PageNumber>(&m.is);
        const auto found = m_places.find(number != nullptr ? number->target : m.target);
        if (found != m_places.end()) out.push_back({m.extent, found->second});
    }
    return out;
}

void PageBook::paint(QPainter& painter, int page) const {
    const PageOf look = [](const void* book, const std::string& id) { return static_cast<const PageBook*>(book)->pageOf(id); };
    const Page& p = m_pages[static_cast<std::size_t>(page)];
    const std::lock_guard<std::mutex> lock(m_painting);
    painter.save();
    for (const Mark& m : p.furniture) paper::paint(painter, m, look, this);
    const QPointF origin = m_format.body().topLeft();
    for (const auto& [strip, y] : p.strips) {
        painter.save();
        painter.translate(origin + QPointF(0, y));
        for (const Mark& m : strip.marks) paper::paint(painter, m, look, this);
        painter.restore();
    }
    painter.restore();
}

std::vector<Mark> PageBook::marks(int page) const {
    const Page& p = m_pages[static_cast<std::size_t>(page)];
    std::vector<Mark> out = p.furniture;
    const QPointF origin = m_format.body().topLeft();
    for (const auto& [strip, y] : p.strips) {
        for (Mark m : strip.marks) {
            m.shift(origin.x(), origin.y() + y);
            out.push_back(std::move(m));
        }
    }
    return out;
}

} // namespace spanwright::paper
