// SPDX-License-Identifier: MIT
// Where strips go: headings and what follows, drawings and the text that flows past them.
#include <QTest>

#include "tests/gui/paper/paper_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using namespace spanwright::paper::trial;
using paper::Mark;
using paper::PageBook;
using report::Block;

namespace {

Block heading(int level, const std::string& text) { return {report::Heading{level, {report::plainText(text)}, ""}}; }

Block figure(double width, double height) {
    report::Figure f;
    f.drawing.width = width;
    f.drawing.height = height;
    f.caption = "caption of it";
    return {f};
}

Block table(int rows) {
    report::Table t;
    t.columns = {{"name", report::Table::Align::Left, false}, {"value", report::Table::Align::Right, false}};
    t.caption = "caption of the table";
    for (int i = 0; i < rows; ++i) t.rows.push_back({{report::plainText("row " + std::to_string(i))}, {report::plainText("7 mm")}});
    return {t};
}

/// Texts of the body in their order, "[figure]" for drawings.
QStringList bodyOf(const PageBook& book, int page) {
    QStringList out;
    std::vector<std::pair<qreal, QString>> all;
    const QRectF body = book.format().body();
    for (const Mark& m : book.marks(page)) {
        if (std::holds_alternative<Mark::Figure>(m.is)) all.emplace_back(m.extent.top(), QStringLiteral("[figure]"));
        if (const auto* t = std::get_if<Mark::Text>(&m.is); t != nullptr && t->base.y() < body.bottom() && t->base.x() < body.right())
            all.emplace_back(m.extent.top(), t->text);
    }
    std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    for (const auto& [y, text] : all) out << text;
    return out;
}

int pageWith(const PageBook& book, const QString& text) {
    for (int page = 0; page < book.pageCount(); ++page)
        if (bodyOf(book, page).contains(text)) return page;
    return -1;
}

} // namespace

class FillingTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void moreThanALineStaysBelowAMembersHeading() {
        for (int lines = 1; lines < 60; ++lines) {
            std::vector<Block> blocks;
            for (int i = 0; i < lines; ++i) blocks.push_back(paragraph("words"));
            blocks.push_back(heading(2, "Member"));
            for (int i = 0; i < 30; ++i) blocks.push_back(paragraph("below" + std::to_string(i)));
            const PageBook book(oneSection(std::move(blocks)), {});
            insideThePaper(book);
            QCOMPARE(pageWith(book, QStringLiteral("below5")), pageWith(book, QStringLiteral("Member")));
        }
    }

    void whyAPartAppliesStaysWithItsFirstRow() {
        for (int lines = 1; lines < 60; ++lines) {
            std::vector<Block> blocks;
            for (int i = 0; i < lines; ++i) blocks.push_back(paragraph("words"));
            blocks.push_back(heading(3, "Part"));
            blocks.push_back(paragraph("applies because"));
            report::CalcLine row;
            row.calculation = {paragraph("first row")};
            blocks.push_back({row});
            const PageBook book(oneSection(std::move(blocks), true), {});
            insideThePaper(book);
            QCOMPARE(pageWith(book, QStringLiteral("first row")), pageWith(book, QStringLiteral("Part")));
            QCOMPARE(pageWith(book, QStringLiteral("applies because")), pageWith(book, QStringLiteral("Part")));
        }
    }

    void textFlowsPastADrawingUpToTheNextMember() {
        bool passed = false, followed = false;
        for (int lines = 1; lines < 70; ++lines) {
            std::vector<Block> blocks;
            for (int i = 0; i < lines; ++i) blocks.push_back(paragraph("words"));
            blocks.push_back(figure(500, 320));
            blocks.push_back(table(9));
            blocks.push_back(heading(2, "Next"));
            blocks.push_back(paragraph("of the next"));
            const PageBook book(oneSection(std::move(blocks), true), {});
            insideThePaper(book);
            apart(book);
            const int drawn = pageWith(book, QStringLiteral("[figure]")), begun = pageWith(book, QStringLiteral("row 0")),
                      next = pageWith(book, QStringLiteral("Next"));
            QVERIFY(drawn >= 0 && begun >= 0 && next >= drawn);
            if (next == drawn) {
                const QStringList words = bodyOf(book, next);
                QVERIFY(words.indexOf(QStringLiteral("[figure]")) < words.indexOf(QStringLiteral("Next")));
            }
            if (drawn == begun) {
                const QStringList words = bodyOf(book, drawn);
                followed = followed || words.indexOf(QStringLiteral("[figure]")) < words.indexOf(QStringLiteral("row 0"));
            }
            if (drawn <= begun) continue;
            // It stands on the page after: at its top, or behind the rows that go on there, whose head is said again; never among them.
            QCOMPARE(drawn, begun + 1);
            passed = true;
            const QStringList words = bodyOf(book, drawn);
            const auto at = words.indexOf(QStringLiteral("[figure]")), last = words.indexOf(QStringLiteral("row 8"));
            QVERIFY(last < at);
            if (last >= 0) QVERIFY(words.indexOf(QStringLiteral("name")) < last);
            for (int row = 0; row < 9; ++row) QVERIFY(words.indexOf(QStringLiteral("row %1").arg(row)) < at);
        }
        QVERIFY(passed && followed);
    }

    void aHeadingWithNothingButADrawingStaysWithIt() {
        for (int lines = 1; lines < 70; ++lines) {
            for (const bool last : {true, false}) {
                std::vector<Block> blocks;
                for (int i = 0; i < lines; ++i) blocks.push_back(paragraph("words"));
                blocks.push_back(heading(3, "Sketches"));
                blocks.push_back(figure(500, 320));
                blocks.push_back(figure(520, 200));
                if (!last) {
                    blocks.push_back(heading(3, "Part"));
                    blocks.push_back(paragraph("of the part"));
                }
                const PageBook book(oneSection(std::move(blocks), true), {});
                insideThePaper(book);
                QCOMPARE(pageWith(book, QStringLiteral("[figure]")), pageWith(book, QStringLiteral("Sketches")));
            }
        }
    }

    void drawingsThatEndAPartStayTogetherWhereThatLeavesNoHalfEmptyPage() {
        int together = 0;
        for (int lines = 1; lines < 70; ++lines) {
            std::vector<Block> blocks;
            for (int i = 0; i < lines; ++i) blocks.push_back(paragraph("words"));
            blocks.push_back(heading(3, "Sketches"));
            blocks.push_back(paragraph("applies because"));
            blocks.push_back(figure(500, 320));
            blocks.push_back(figure(520, 250));
            const PageBook book(oneSection(std::move(blocks), true), {});
            insideThePaper(book);
            apart(book);
            std::vector<int> pages;
            for (int page = 0; page < book.pageCount(); ++page) pages.insert(pages.end(), bodyOf(book, page).count(QStringLiteral("[figure]")), page);
            QCOMPARE(pages.size(), std::size_t(2));
            QCOMPARE(pageWith(book, QStringLiteral("Sketches")), pages[0]);
            QCOMPARE(pageWith(book, QStringLiteral("applies because")), pages[0]);
            if (pages[0] == pages[1]) {
                ++together;
                continue;
            }
            for (const Mark& m : book.marks(pages[0]))
                if (const auto* t = std::get_if<Mark::Text>(&m.is); t != nullptr && t->text == QStringLiteral("Sketches"))
                    QVERIFY(m.extent.top() < book.format().body().height() * 0.65);
        }
        QVERIFY(together > 30);
    }

    void aFormulaStaysWithWhatItIsAndWithWhatItComesTo() {
        const auto word = [](const std::string& text) { return meaning::Box{meaning::Box::Kind::Word, text, {}}; };
        constexpr int kEquations = 30;
        for (int lines = 1; lines < 40; ++lines) {
            std::vector<Block> blocks;
            for (int i = 0; i < lines; ++i) blocks.push_back(paragraph("words"));
            report::CalcLine row;
            for (int i = 0; i < kEquations; ++i) {
                row.calculation.push_back(paragraph("on the way " + std::to_string(i)));
                report::Equation e;
                e.lines.push_back({word("a"), "=", word("formula")});
                e.lines.push_back({{}, "=", word("put in")});
                e.lines.push_back({{}, "=", word("result")});
                row.calculation.push_back({e});
            }
            blocks.push_back({row});
            const PageBook book(oneSection(std::move(blocks), true), {});
            insideThePaper(book);
            std::vector<std::pair<int, qreal>> set;
            for (int page = 0; page < book.pageCount(); ++page)
                for (const Mark& m : book.marks(page))
                    if (std::holds_alternative<Mark::Formula>(m.is)) set.emplace_back(page, m.extent.top());
            // Left side, sign and right side, then twice sign and right side.
            QCOMPARE(set.size(), std::size_t(kEquations * 7));
            for (int i = 0; i < kEquations; ++i) {
                const auto at = static_cast<std::size_t>(i) * 7;
                QCOMPARE(pageWith(book, QStringLiteral("on the way %1").arg(i)), set[at].first);
                QCOMPARE(set[at + 3].first, set[at + 6].first);
            }
        }
    }

    void aLastPageWithAFewLinesIsSavedWhereThePagesBeforeItHaveRoom() {
        int saved = 0;
        for (int steps = 6; steps <= 12; ++steps)
            for (int rows = 5; rows <= 16; ++rows) {
                std::vector<Block> blocks;
                for (int i = 0; i < rows; ++i) {
                    report::CalcLine row;
                    for (int k = 0; k < steps; ++k) row.calculation.push_back(paragraph("row " + std::to_string(i) + " step " + std::to_string(k)));
                    blocks.push_back({row});
                }
                const PageBook book(oneSection(std::move(blocks), true), {});
                insideThePaper(book);
                // Everything stands once, in its order.
                QStringList all;
                for (int page = 0; page < book.pageCount(); ++page)
                    for (const QString& text : bodyOf(book, page))
                        if (text.startsWith(QLatin1String("row "))) all << text;
                QCOMPARE(all.size(), rows * steps);
                QCOMPARE(all.last(), QStringLiteral("row %1 step %2").arg(rows - 1).arg(steps - 1));
                if (book.pageCount() < 2) continue;
                // How much stands on the last page, and how much room the others leave, by what is lowest on each.
                const QRectF body = book.format().body();
                const auto end = [&](int page) {
                    qreal lowest = 0;
                    for (const Mark& m : book.marks(page))
                        if (std::holds_alternative<Mark::Text>(m.is) && m.extent.bottom() <= body.bottom() + 1) lowest = std::max(lowest, m.extent.bottom());
                    return lowest;
                };
                qreal first = body.bottom(), left = 0;
                for (const Mark& m : book.marks(0))
                    if (const auto* words = std::get_if<Mark::Text>(&m.is); words != nullptr && words->text.startsWith(QLatin1String("row ")))
                        first = std::min(first, m.extent.top());
                for (int page = 0; page + 1 < book.pageCount(); ++page) left += body.bottom() - end(page);
                const qreal last = end(book.pageCount() - 1) - first;
                // Some room stays where even a short line of the calculation has none.
                const bool few = last<body.height() * 0.25, roomy = left - last> body.height() * 0.1 * (book.pageCount() - 1);
                QVERIFY2(!(few && roomy), qPrintable(QStringLiteral("%1 rows of %2").arg(rows).arg(steps)));
                saved += few ? 0 : 1;
            }
        QVERIFY(saved > 0);
    }

    void neitherASignNorALeftSideEndsAPage() {
        // Too long for one line, so that its left side and its sign stand before its pieces.
        meaning::Box sum;
        for (int i = 0; i < 60; ++i) {
            if (i > 0) sum.children.push_back({meaning::Box::Kind::Operator, "+", {}});
            sum.children.push_back({meaning::Box::Kind::Word, "several", {}});
        }
        const meaning::Box left{meaning::Box::Kind::Word, "a left side that is as long as half of the column", {}};
        int signs = 0;
        for (int lines = 1; lines < 40; ++lines) {
            std::vector<Block> blocks;
            for (int i = 0; i < lines; ++i) blocks.push_back(paragraph("words"));
            report::CalcLine row;
            for (int i = 0; i < 20; ++i) {
                report::Equation e;
                e.lines.push_back({left, "=", sum});
                e.lines.push_back({{}, "=", sum});
                row.calculation.push_back({e});
            }
            blocks.push_back({row});
            const PageBook book(oneSection(std::move(blocks), true), {});
            const QRectF body = book.format().body();
            for (int page = 0; page < book.pageCount(); ++page) {
                const auto marks = book.marks(page);
                const Mark* lowest = nullptr;
                for (const Mark& m : marks) {
                    if (m.extent.bottom() > body.bottom() || m.extent.left() > body.right() || std::holds_alternative<Mark::Line>(m.is)) continue;
                    if (lowest == nullptr || m.extent.bottom() > lowest->extent.bottom()) lowest = &m;
                    signs += std::holds_alternative<Mark::Formula>(m.is) && m.extent.width() < paper::points(8) ? 1 : 0;
                }
                QVERIFY(lowest != nullptr);
                const bool alone = std::none_of(marks.begin(), marks.end(), [&](const Mark& m) {
                    return &m != lowest && !std::holds_alternative<Mark::Line>(m.is) && m.extent.bottom() > lowest->extent.top() + 1 &&
                           m.extent.top() < lowest->extent.bottom() - 1;
                });
                const bool formula = alone && std::holds_alternative<Mark::Formula>(lowest->is);
                const bool sign = formula && lowest->extent.width() < paper::points(8), side = formula && lowest->extent.width() > paper::points(100);
                QVERIFY2(!sign && !side, qPrintable(QStringLiteral("page %1, %2 lines before").arg(page + 1).arg(lines)));
            }
        }
        QVERIFY(signs > 1000);
    }

    void aDrawingThatIsAlmostTooTallIsMadeALittleSmallerWhereItStands() {
        bool smaller = false;
        for (int lines = 1; lines < 70; ++lines) {
            std::vector<Block> blocks;
            for (int i = 0; i < lines; ++i) blocks.push_back(paragraph("words"));
            blocks.push_back(figure(400, 320));
            blocks.push_back(paragraph("behind it"));
            // Where drawings do not float, as before members begin.
            const PageBook book(oneSection(std::move(blocks), false), {});
            insideThePaper(book);
            apart(book);
            QSizeF size;
            for (int page = 0; page < book.pageCount(); ++page)
                for (const Mark& m : book.marks(page))
                    if (std::holds_alternative<Mark::Figure>(m.is)) size = m.extent.size();
            static QSizeF most = size;
            QVERIFY(size.width() <= most.width() + 0.01);
            smaller = smaller || size.width() < most.width() - 1;
        }
        QVERIFY(smaller);
    }

    void wordsThatHaveNoRoomBesideManyColumnsStandBelowThem() {
        report::Table t;
        t.columns = {{"name", report::Table::Align::Left, false}};
        for (int c = 0; c < 9; ++c) t.columns.push_back({"factor", report::Table::Align::Right, false});
        t.columns.push_back({"what", report::Table::Align::Left, true});
        for (int r = 0; r < 60; ++r) {
            t.rows.push_back({{report::plainText("imposed+snow+wind " + std::to_string(r))}});
            for (int c = 0; c < 9; ++c) t.rows.back().push_back({report::plainText("1.3" + std::to_string(c))});
            t.rows.back().push_back({report::plainText("permanent actions alone: the lowest factor for moisture")});
        }
        const PageBook book(oneSection({{t}}), {});
        insideThePaper(book);
        apart(book);
        int whole = 0, rows = 0;
        for (int page = 0; page < book.pageCount(); ++page)
            for (const QString& text : bodyOf(book, page)) {
                whole += text == QStringLiteral("permanent actions alone: the lowest factor for moisture") ? 1 : 0;
                rows += text.startsWith(QStringLiteral("imposed+snow+wind ")) ? 1 : 0;
                QVERIFY(text != QStringLiteral("permanent"));
            }
        QCOMPARE(rows, 60);
        QCOMPARE(whole, 60);
        QVERIFY(book.pageCount() > 1);
        QVERIFY(bodyOf(book, 1).contains(QStringLiteral("factor")));
    }

    void aNumberAndItsUnitStandOnOneLine() {
        for (int letters = 1; letters < 90; ++letters) {
            const std::string words(static_cast<std::size_t>(letters), 'w');
            const PageBook book(oneSection({paragraph(words + " it is 204.1 mm long and takes 12 N/mm² of 47 x 195 mm")}), {});
            insideThePaper(book);
            QStringList body = bodyOf(book, 0);
            for (QString& line : body) line = line.trimmed();
            for (const char* broken : {"204.1", "12", "195"})
                for (const QString& line : body) QVERIFY2(!line.endsWith(QLatin1String(" ") + QString::fromUtf8(broken)), broken);
            QVERIFY(body.join(QLatin1Char(' ')).contains(QStringLiteral("47 × 195 mm")));
        }
    }

    void aSizeIsBrokenAtItsSignsOnlyAndOnlyWhereItHasTo() {
        // As on labels: several beside one another.
        for (const bool large : {false, true}) {
            report::Table t;
            t.boxed = true;
            t.ruled = false;
            t.columns = {{"", report::Table::Align::Left, true}, {"", report::Table::Align::Left, true}, {"", report::Table::Align::Left, true}};
            t.rows.push_back({{report::plainText("R1 web 4 1/5"), report::plainText(" 12 x 455.9/374.6 x 2400 mm")}, {report::plainText("47 x 195 mm")}, {}});
            report::Document d = oneSection({{t}});
            d.largePrint = large;
            const PageBook book(d, {});
            insideThePaper(book);
            apart(book);
            QStringList words;
            for (const QString& text : bodyOf(book, 0)) words += text.split(QLatin1Char(' '), Qt::SkipEmptyParts);
            for (const char* whole : {"455.9/374.6", "2400", "195", "12", "47"}) QVERIFY2(words.contains(QString::fromUtf8(whole)), whole);
            if (!large) QVERIFY(bodyOf(book, 0).contains(QStringLiteral("12 × 455.9/374.6 × 2400 mm")));
        }
    }

    void aHeadIsBrokenBeforeReadingsAre() {
        report::Table t;
        t.columns = {{"part", report::Table::Align::Left, false},
                     {"from end A", report::Table::Align::Right, false},
                     {"from the edge", report::Table::Align::Right, false},
                     {"finished", report::Table::Align::Left, false},
                     {"not smaller than", report::Table::Align::Left, false}};
        for (int r = 0; r < 3; ++r)
            t.rows.push_back({{report::plainText("c  R1 top_flange")},
                              {report::plainText("10 to 5648.2")},
                              {report::plainText("102.4 to 150.4")},
                              {report::plainText("47 x 48 x 5638.1")},
                              {report::strongText("48 x 5638.2")}});
        report::Document d = oneSection({{t}});
        d.largePrint = true;
        const PageBook book(d, {});
        insideThePaper(book);
        apart(book);
        const QStringList body = bodyOf(book, 0);
        for (const char* whole : {"10 to 5648.2", "102.4 to 150.4", "47 × 48 × 5638.1", "48 × 5638.2"}) QCOMPARE(body.count(QString::fromUtf8(whole)), 3);
    }

    void aShortListIsNotBrokenOverPages() {
        for (int lines = 1; lines < 70; ++lines) {
            std::vector<Block> blocks;
            for (int i = 0; i < lines; ++i) blocks.push_back(paragraph("words"));
            report::Bullets list;
            for (int i = 0; i < 9; ++i) list.items.push_back({{report::plainText("item " + std::to_string(i))}, {}});
            blocks.push_back({list});
            const PageBook book(oneSection(std::move(blocks)), {});
            insideThePaper(book);
            QCOMPARE(pageWith(book, QStringLiteral("item 0")), pageWith(book, QStringLiteral("item 8")));
        }
    }

    void aBulletStandsClearOfItsWords() {
        for (const bool large : {false, true}) {
            report::Document d = oneSection({{report::Bullets{{{{report::plainText("Write A on the end")}, {}}}}}});
            d.largePrint = large;
            const PageBook book(d, {});
            QRectF bullet, words;
            for (const Mark& m : book.marks(0)) {
                const auto* t = std::get_if<Mark::Text>(&m.is);
                if (t != nullptr && t->text == QString::fromUtf8("•")) bullet = m.extent;
                if (t != nullptr && t->text.startsWith(QStringLiteral("Write"))) words = m.extent;
            }
            QVERIFY(!bullet.isEmpty() && !words.isEmpty());
            QVERIFY(words.left() - bullet.right() > bullet.width() * 0.6);
        }
    }

    void drawingsKeepTheirOrderAndNoneComesBeforeItsHeading() {
        for (int lines = 1; lines < 70; ++lines) {
            std::vector<Block> blocks;
            for (int i = 0; i < lines; ++i) blocks.push_back(paragraph("words"));
            blocks.push_back(heading(2, "Member"));
            blocks.push_back(paragraph("what it is"));
            blocks.push_back(figure(520, 300));
            blocks.push_back(figure(540, 200));
            blocks.push_back(table(12));
            const PageBook book(oneSection(std::move(blocks), true), {});
            insideThePaper(book);
            std::vector<std::pair<int, QRectF>> drawn;
            for (int page = 0; page < book.pageCount(); ++page)
                for (const Mark& m : book.marks(page))
                    if (std::holds_alternative<Mark::Figure>(m.is)) drawn.emplace_back(page, m.extent);
            QCOMPARE(drawn.size(), std::size_t(2));
            QVERIFY(drawn[0].second.height() / drawn[0].second.width() > 0.5);
            QVERIFY(drawn[1].second.height() / drawn[1].second.width() < 0.5);
            QVERIFY(drawn[0].first < drawn[1].first || (drawn[0].first == drawn[1].first && drawn[0].second.bottom() < drawn[1].second.top()));
            const int member = pageWith(book, QStringLiteral("Member"));
            QVERIFY(drawn[0].first >= member);
            if (drawn[0].first == member) {
                const QStringList words = bodyOf(book, member);
                QVERIFY(words.indexOf(QStringLiteral("Member")) < words.indexOf(QStringLiteral("[figure]")));
            }
        }
    }

    void aDrawingIsMadeALittleSmallerBeforeItLeavesItsPlace() {
        std::set<int> scales;
        qreal least = 1e9, most = 0;
        for (int lines = 1; lines < 70; ++lines) {
            std::vector<Block> blocks;
            for (int i = 0; i < lines; ++i) blocks.push_back(paragraph("words"));
            blocks.push_back(figure(400, 200));
            blocks.push_back(paragraph("after"));
            const PageBook book(oneSection(std::move(blocks), true), {});
            insideThePaper(book);
            apart(book);
            for (int page = 0; page < book.pageCount(); ++page) {
                for (const Mark& m : book.marks(page)) {
                    const auto* f = std::get_if<Mark::Figure>(&m.is);
                    if (f == nullptr) continue;
                    least = std::min(least, f->scale);
                    most = std::max(most, f->scale);
                    QVERIFY(std::abs(m.extent.width() - 400 * f->scale) < 1e-6);
                }
            }
        }
        QVERIFY(least < most);
        // Its letters of 11 units stay larger than 6 points.
        QVERIFY(least * 11 > paper::points(6));
    }
};

SPANWRIGHT_QT_TEST(FillingTest);
#include "filling_test.moc"
