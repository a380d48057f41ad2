// SPDX-License-Identifier: MIT
#include <QTest>

#include "gui/editor/completion.h"
#include "gui/editor/row_style.h"
#include "tests/gui/shelf_job.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using editor::Style;

namespace {

/// The words suggested at the `|` of a row. In a job the row stands under the member S2.
QStringList words(models::JobSession& s, syntax::FileKind kind, std::string row) {
    editor::CompletionPlace place;
    place.kind = kind;
    place.file = kind == syntax::FileKind::Sheet ? "lib/shelf.spansheet" : "shed/job.spanjob";
    const auto document = syntax::Document::read(place.file, kind, s.job().text(place.file).value_or(""));
    place.document = &document;
    for (std::uint32_t i = 0; i < document.rows().size(); ++i)
        if (kind == syntax::FileKind::Job && document.rows()[i]->name.text == "S2") place.rowIndex = i + 1;
    place.at = row.find('|');
    place.row = row.erase(place.at, 1);
    QStringList out;
    for (const editor::Suggestion& found : editor::suggestionsAt(s, place).list) out << found.word;
    return out;
}

QString styleOf(const std::string& row, syntax::FileKind kind, const std::string& piece) {
    const auto d = syntax::Document::read("t", kind, row);
    const auto at = static_cast<std::uint32_t>(row.find(piece));
    for (const editor::Stretch& s : editor::stretchesOf(d.rows()[0], kind))
        if (s.span.begin <= at && at + piece.size() <= s.span.end) return QString::number(static_cast<int>(s.style));
    return QStringLiteral("plain");
}

QString number(Style s) { return QString::number(static_cast<int>(s)); }

} // namespace

class CompletionTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void inASheet() {
        const auto s = shelf::open();
        constexpr auto kSheet = syntax::FileKind::Sheet;
        QVERIFY(words(*s, kSheet, "der|").contains(QStringLiteral("derive")));
        QVERIFY(!words(*s, kSheet, "der|").contains(QStringLiteral("member")));
        const QStringList names = words(*s, kSheet, "derive x [mm] = s|");
        QVERIFY2(names.contains(QStringLiteral("sigma")) && names.contains(QStringLiteral("sqrt")), qPrintable(names.join(QLatin1Char(' '))));
        // Those that begin so come first.
        QVERIFY(names.indexOf(QStringLiteral("sigma")) < names.indexOf(QStringLiteral("abs")) || !names.contains(QStringLiteral("abs")));
        QCOMPARE(words(*s, kSheet, "derive x = wood.|"), (QStringList{QStringLiteral("kind"), QStringLiteral("f"), QStringLiteral("what")}));
        QCOMPARE(words(*s, kSheet, "derive x = load.Q|"), QStringList());
        QVERIFY(words(*s, kSheet, "derive x [k|").contains(QStringLiteral("kgf")));
        QVERIFY(!words(*s, kSheet, "derive x [k|").contains(QStringLiteral("check")));
        QVERIFY(words(*s, kSheet, "derive x = 3 i|").contains(QStringLiteral("in")));
        QCOMPARE(words(*s, kSheet, "choose y from |"), (QStringList{QStringLiteral("woods"), QStringLiteral("loads")}));
        // A name is made up, and words are no formulas.
        QVERIFY(words(*s, kSheet, "derive si|").isEmpty());
        QVERIFY(words(*s, kSheet, "derive x = 2 -- si|").isEmpty());
        QVERIFY(words(*s, kSheet, "# si|").isEmpty());
        QVERIFY(words(*s, kSheet, "title si|").isEmpty());
    }

    void inAJob() {
        const auto s = shelf::open();
        constexpr auto kJob = syntax::FileKind::Job;
        QVERIFY(words(*s, kJob, "  wi|").contains(QStringLiteral("with")));
        QVERIFY(words(*s, kJob, "an|").contains(QStringLiteral("answer")));
        QCOMPARE(words(*s, kJob, "  with |"),
                 (QStringList{QStringLiteral("L"), QStringLiteral("b"), QStringLiteral("h"), QStringLiteral("wood"), QStringLiteral("q")}));
        QCOMPARE(words(*s, kJob, "  with wood = |"), (QStringList{QStringLiteral("soft"), QStringLiteral("hard")}));
        const QStringList links = words(*s, kJob, "  with q = |");
        QVERIFY(links.contains(QStringLiteral("S1")) && links.contains(QStringLiteral("q_all")));
        QVERIFY(words(*s, kJob, "  with q = S1.|").contains(QStringLiteral("R")));
        QVERIFY(words(*s, kJob, "  with q = 2 k|").contains(QStringLiteral("kip")));
        QCOMPARE(words(*s, kJob, "tick S|"), (QStringList{QStringLiteral("S1"), QStringLiteral("S2")}));
        QVERIFY(words(*s, kJob, "remark S1.sig|").contains(QStringLiteral("sigma")));
        QVERIFY(words(*s, kJob, "member X = sh|").contains(QStringLiteral("shelf")));
        QVERIFY(words(*s, kJob, "remark S1.R by AB on 2026: s|").isEmpty());
        QCOMPARE(words(*s, kJob, "trial |"), (QStringList{QStringLiteral("vary"), QStringLiteral("reach"), QStringLiteral("weigh"), QStringLiteral("sure")}));
        const QStringList going = words(*s, kJob, "trial vary |");
        QVERIFY(going.contains(QStringLiteral("S1")) && going.contains(QStringLiteral("q_all")) && going.contains(QStringLiteral("show")));
        QVERIFY(words(*s, kJob, "trial vary S1.|").contains(QStringLiteral("h")));
        QVERIFY(words(*s, kJob, "trial vary S1.h from 20 f|").contains(QStringLiteral("ft")));
        QVERIFY(words(*s, kJob, "trial vary S1.wood in soft, h|").contains(QStringLiteral("hard")));
        QVERIFY(!words(*s, kJob, "trial reach |").contains(QStringLiteral("show")));
    }

    void looksAreTheEnginesReading() {
        constexpr auto kSheet = syntax::FileKind::Sheet;
        const std::string row = "derive  M_d [kN*m] = min(w_d, 3 kN)*L^2 -- moment at midspan -- statics";
        QCOMPARE(styleOf(row, kSheet, "derive"), number(Style::RowWord));
        QCOMPARE(styleOf(row, kSheet, "M_d"), number(Style::Name));
        QCOMPARE(styleOf(row, kSheet, "kN*m"), number(Style::Unit));
        QCOMPARE(styleOf(row, kSheet, "min"), number(Style::Function));
        QCOMPARE(styleOf(row, kSheet, "w_d"), QStringLiteral("plain"));
        QCOMPARE(styleOf(row, kSheet, "moment"), number(Style::Words));
        QCOMPARE(styleOf(row, kSheet, "statics"), number(Style::Source));
        QCOMPARE(styleOf("check   c: a <= if(b, 1, 2)", kSheet, "if"), number(Style::Function));
        QCOMPARE(styleOf("ask     L [m] from 1 m to 4 m", kSheet, "from"), number(Style::Joining));
        QCOMPARE(styleOf("# a comment", kSheet, "comment"), number(Style::Comment));
        QCOMPARE(styleOf("drive   x = 2", kSheet, "drive"), number(Style::Bad));
        QCOMPARE(styleOf("with  L = J1.R/2 -- there", syntax::FileKind::Job, "J1.R"), number(Style::Link));
        const std::string trial = "trial   vary J1.h from 20 mm to 30 mm show J1.M -- why";
        QCOMPARE(styleOf(trial, syntax::FileKind::Job, "trial"), number(Style::RowWord));
        QCOMPARE(styleOf(trial, syntax::FileKind::Job, "vary"), number(Style::Name));
        QCOMPARE(styleOf(trial, syntax::FileKind::Job, "J1.h"), number(Style::Link));
        QCOMPARE(styleOf(trial, syntax::FileKind::Job, "show"), number(Style::Joining));
        QCOMPARE(styleOf(trial, syntax::FileKind::Job, "why"), number(Style::Words));
        QCOMPARE(styleOf("remark  J1.M by AB on 2026-05-05: why?", syntax::FileKind::Job, "why?"), number(Style::Words));
    }
};

SPANWRIGHT_QT_TEST(CompletionTest);
#include "completion_test.moc"
