// SPDX-License-Identifier: MIT
// Formulas that are too long for a line.
#include <QTest>

#include <algorithm>

#include "gui/ink/box_layout.h"
#include "gui/paper/formula_pieces.h"
#include "tests/gui/paper/paper_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using namespace spanwright::paper::trial;
using meaning::Box;
using paper::Mark;
using paper::PageBook;
using Kind = meaning::Box::Kind;

namespace {

Box name(const std::string& n) { return meaning::typesetName(n); }
Box op(const std::string& o) { return {Kind::Operator, o, {}}; }
Box row(std::vector<Box> children) { return {Kind::Row, {}, std::move(children)}; }
Box fence(Box inside) { return {Kind::Fence, "(", {std::move(inside)}}; }

/// a_1*f(x_1, y_1) + a_2*f(x_2, y_2) + ...
Box sum(int terms) {
    std::vector<Box> all;
    for (int i = 1; i <= terms; ++i) {
        const std::string n = std::to_string(i);
        if (i > 1) all.push_back(op("+"));
        for (const Box& b : {name("a_" + n), op("·"), name("f_stretch"), fence(row({name("x_" + n), op(","), name("y_" + n)}))}) all.push_back(b);
    }
    return row(std::move(all));
}

/// All that is set, in one line of text.
std::string said(const report::Inlines& pieces) {
    std::string out;
    for (const report::Inline& i : pieces) out += i.kind == report::Inline::Kind::Math ? meaning::plain(i.math) : i.text;
    return out;
}

} // namespace

class FormulaPiecesTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void whatFitsStaysWhole() {
        const report::Inlines pieces = paper::formulaPieces(sum(2), QFont(), 1e6);
        QCOMPARE(pieces.size(), std::size_t(1));
        QVERIFY(pieces[0].kind == report::Inline::Kind::Math);
    }

    void piecesAreNoWiderThanAskedForAndSayTheSame() {
        const QFont font;
        const qreal widest = ink::BoxLayout(name("f_stretch"), font).size().width() * 2.5;
        const Box quotient{Kind::Fraction, {}, {sum(4), sum(3)}};
        const Box root{Kind::Root, {}, {sum(3)}};
        const Box squared{Kind::Super, {}, {fence(sum(3)), Box{Kind::Number, "2", {}}}};
        const Box cases{Kind::Cases, {}, {sum(3), row({name("h"), op("<"), name("h_0")}), sum(2), Box{Kind::Word, "otherwise", {}}}};
        for (const Box& box : {sum(12), fence(sum(6)), quotient, root, squared, cases, row({fence(quotient), op("·"), root})}) {
            const report::Inlines pieces = paper::formulaPieces(box, font, widest);
            QVERIFY(pieces.size() > 5);
            for (const report::Inline& i : pieces) {
                if (i.kind != report::Inline::Kind::Math) continue;
                QVERIFY2(ink::BoxLayout(i.math, font).size().width() <= widest, meaning::plain(i.math).c_str());
            }
            // But for blanks and the writing of signs it is what one line of text says.
            const auto bare = [](std::string s) {
                s.erase(std::remove_if(s.begin(), s.end(), [](char c) { return c == ' '; }), s.end());
                return QString::fromStdString(s).replace(QStringLiteral(")^2"), QStringLiteral(")²"));
            };
            QCOMPARE(bare(said(pieces)), bare(meaning::plain(box)));
        }
    }

    void aLongFormulaIsTypesetOnThePage() {
        report::Equation e;
        e.lines.push_back({name("E_f"), "=", fence(sum(30))});
        const PageBook book(oneSection({{e}}), {});
        insideThePaper(book);
        apart(book);
        std::set<int> lines;
        for (const Mark& m : book.marks(0)) {
            if (std::holds_alternative<Mark::Formula>(m.is)) lines.insert(static_cast<int>(m.extent.center().y() / paper::points(8)));
            const auto* t = std::get_if<Mark::Text>(&m.is);
            QVERIFY(t == nullptr || !t->text.contains(QLatin1Char('_')));
        }
        QVERIFY(lines.size() > 3);
    }
};

SPANWRIGHT_QT_TEST(FormulaPiecesTest);
#include "formula_pieces_test.moc"
