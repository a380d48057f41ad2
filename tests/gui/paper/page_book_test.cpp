// SPDX-License-Identifier: MIT
#include <QPainter>
#include <QProcess>
#include <QStandardPaths>
#include <QTemporaryDir>
#include <QTest>

#include <set>

#include "gui/paper/pdf_writer.h"
#include "tests/engine/report/sample_facts.h"
#include "tests/gui/paper/paper_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using namespace spanwright::paper::trial;
using paper::Mark;
using paper::PageBook;
using paper::PageFormat;
using report::Document;
using report::PaperWriter;
using report::Section;

namespace {

/// A joist, a beam that is not proven, the ridge beam and loads: every kind of line, plots and sketches.
Document example() { return exampleOf({"J1", "B2", "R1", "A1"}); }

QString pdfText(const std::string& pdf) {
    const QString program = QStandardPaths::findExecutable(QStringLiteral("pdftotext"));
    if (program.isEmpty()) return {};
    QTemporaryDir folder;
    const QString path = folder.filePath(QStringLiteral("out.pdf"));
    QFile file(path);
    if (!file.open(QIODevice::WriteOnly)) return {};
    file.write(pdf.data(), static_cast<qint64>(pdf.size()));
    file.close();
    QProcess run;
    run.start(program, {QStringLiteral("-layout"), QStringLiteral("-enc"), QStringLiteral("UTF-8"), path, QStringLiteral("-")});
    run.waitForFinished();
    return QString::fromUtf8(run.readAllStandardOutput());
}

} // namespace

class PageBookTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void everyPageOfTheExampleSaysWhatItIs() {
        const Document d = example();
        const PageBook book(d, {});
        QVERIFY(book.pageCount() > 20);
        std::set<std::string> marks;
        for (int page = 0; page < book.pageCount(); ++page) {
            const QString words = wordsOf(book, page);
            QVERIFY(words.contains(QStringLiteral("page %1 of %2").arg(page + 1).arg(book.pageCount())));
            QVERIFY(words.contains(QStringLiteral("inputs ") + QString::fromStdString(d.fingerprint)));
            QVERIFY(words.contains(QStringLiteral("Orchard packing shed")));
            QVERIFY(words.contains(QStringLiteral("EN 199")));
            const std::string& mark = book.memberOn(page);
            if (mark.empty()) continue;
            marks.insert(mark);
            QVERIFY(words.split(QLatin1Char('\n')).contains(QString::fromStdString(mark)));
            for (const char* column : {"reference", "calculation", "result"}) QVERIFY(words.contains(QLatin1String(column)));
        }
        QCOMPARE(marks, (std::set<std::string>{"J1", "B2", "R1", "A1"}));
    }

    void nothingOfTheExampleRunsOver() {
        for (const PaperWriter::Size size : {PaperWriter::Size::A4, PaperWriter::Size::Letter}) {
            const PageBook book(example(), formatOf(size));
            insideThePaper(book);
            apart(book);
        }
        report::ReportScope brief;
        brief.brief = true;
        const PageBook book(report::reportDocument(exampleFacts(), brief), {});
        insideThePaper(book);
        apart(book);
        // A few pages a member, sketches and all.
        QVERIFY(book.pageCount() < 4 * static_cast<int>(exampleFacts().members.size()));
    }

    void hostileWordsAndValuesStayOnThePaper() {
        const std::string longWord(3000, 'W');
        std::vector<report::Block> blocks;
        report::CalcLine line;
        line.id = "m1-r1";
        line.reference = {report::plainText(longWord)};
        line.calculation = {paragraph(longWord + " and " + longWord)};
        line.result = {{report::strongText(longWord)}, {report::boxedWord(report::Stamp::NotComputed)}};
        blocks.push_back({line});
        report::Table table;
        table.caption = longWord;
        for (int c = 0; c < 30; ++c) table.columns.push_back({"head" + longWord.substr(0, 60), report::Table::Align::Right, c % 2 == 0});
        for (int r = 0; r < 3; ++r) table.rows.push_back(std::vector<report::Inlines>(30, {report::plainText("1234567890123456789.12 kN/m²")}));
        blocks.push_back({table});
        report::Table tall;
        tall.columns = {{"what", report::Table::Align::Left, true}};
        std::string many;
        for (int i = 0; i < 6000; ++i) many += "word ";
        tall.rows = {{{report::plainText(many)}}};
        blocks.push_back({tall});
        // A fraction of very long sums, in itself not to be broken.
        meaning::Box sum;
        for (int i = 0; i < 120; ++i) {
            sum.children.push_back({meaning::Box::Kind::Name, "q", {}});
            sum.children.push_back({meaning::Box::Kind::Operator, "+", {}});
        }
        report::Equation equation;
        equation.lines.push_back({{meaning::Box::Kind::Name, "x", {}}, "=", {meaning::Box::Kind::Fraction, "", {sum, sum}}});
        equation.lines.push_back({sum, "≤", sum});
        report::CalcLine wide;
        wide.calculation = {{equation}};
        blocks.push_back({wide});
        report::Figure figure;
        figure.drawing.width = 5000;
        figure.drawing.height = 9000;
        figure.caption = longWord;
        blocks.push_back({figure});
        report::Bullets bullets;
        report::Bullets::Item item{{report::plainText(longWord)}, {}};
        for (int i = 0; i < 60; ++i) item = {{report::plainText("level")}, {item}};
        bullets.items = {item};
        report::Framed framed{longWord, {{bullets}, {report::Framed{"inner", {paragraph(longWord)}}}}};
        blocks.push_back({framed});
        Document d = oneSection(std::move(blocks), true);
        d.identity = d.fingerprint = longWord.substr(0, 40);
        d.sections.front().running = longWord;
        d.sections.front().mark = longWord;
        for (const PaperWriter::Size size : {PaperWriter::Size::A4, PaperWriter::Size::Letter}) {
            const PageBook book(d, formatOf(size));
            insideThePaper(book);
            QVERIFY(book.pageCount() < 60);
        }
        insideThePaper(PageBook(report::reportDocument(report::sample::job(report::sample::hostile)), {}));
    }

    void largePrintIsLargerAndLeavesNoMarginForRemarks() {
        Document d = example();
        d.sections.resize(4);
        const PageBook usual(d, {});
        d.largePrint = true;
        const PageBook large(d, {});
        insideThePaper(large);
        apart(large);
        QVERIFY(large.pageCount() > usual.pageCount());
        QVERIFY(large.format().body().width() > usual.format().body().width());
        QVERIFY(wordsOf(usual, 0).contains(QStringLiteral("remarks")));
        QVERIFY(!wordsOf(large, 0).contains(QStringLiteral("remarks")));
        const auto largest = [](const PageBook& book) {
            int most = 0;
            for (const Mark& m : book.marks(0))
                if (const auto* t = std::get_if<Mark::Text>(&m.is)) most = std::max(most, t->font.pixelSize());
            return most;
        };
        QVERIFY(largest(large) > largest(usual) * 1.5);
    }

    void whatIsToBeOnOnePageIsSetSmallerButNotTooSmall() {
        const auto sectionOf = [](int lines, bool onePage) {
            std::vector<report::Block> blocks;
            for (int i = 0; i < lines; ++i) blocks.push_back(paragraph("words to be read beside the saw"));
            Document d = oneSection(std::move(blocks));
            d.largePrint = true;
            d.sections.front().onePage = onePage;
            return d;
        };
        const PageBook broken(sectionOf(50, false), {}), whole(sectionOf(50, true), {});
        QCOMPARE(broken.pageCount(), 2);
        QCOMPARE(whole.pageCount(), 1);
        insideThePaper(whole);
        const auto smallest = [](const PageBook& book) {
            int least = 10000;
            for (const Mark& m : book.marks(0))
                if (const auto* t = std::get_if<Mark::Text>(&m.is); t != nullptr && t->text.startsWith(QLatin1String("words")))
                    least = std::min(least, t->font.pixelSize());
            return least;
        };
        QVERIFY(smallest(whole) < smallest(broken));
        QVERIFY(smallest(whole) >= paper::points(7.5));
        // What fits in no size keeps its own.
        QCOMPARE(smallest(PageBook(sectionOf(500, true), {})), smallest(broken));
    }

    void drawingsThatAreSmallStandSideBySide() {
        const auto figure = [](double width, double height) {
            report::Figure f;
            f.drawing.width = width;
            f.drawing.height = height;
            f.caption = "what it shows, in more words than fit on one line below it";
            return report::Block{f};
        };
        const auto placesOf = [](const PageBook& book) {
            std::vector<QRectF> out;
            for (const Mark& m : book.marks(0))
                if (std::holds_alternative<Mark::Figure>(m.is)) out.push_back(m.extent);
            return out;
        };
        const PageBook small(oneSection({figure(200, 150), figure(220, 260)}), {});
        insideThePaper(small);
        apart(small);
        const std::vector<QRectF> beside = placesOf(small);
        QCOMPARE(beside.size(), std::size_t(2));
        QVERIFY(beside[0].right() < beside[1].left());
        QCOMPARE(beside[0].bottom(), beside[1].bottom());
        const std::vector<QRectF> below = placesOf(PageBook(oneSection({figure(700, 150), figure(700, 150)}), {}));
        QCOMPARE(below.size(), std::size_t(2));
        QVERIFY(below[0].bottom() < below[1].top());
    }

    void boxesToFillInAreOfOneWidthAndHaveRoom() {
        report::Table t;
        t.boxed = true;
        for (const char* head : {"of beam", "R1/1", "R1/2"}) t.columns.push_back({head, report::Table::Align::Left, true});
        for (int r = 0; r < 5; ++r) t.rows.push_back({{report::plainText("timber, % moisture")}, {}, {}});
        const PageBook book(oneSection({{t}}), {});
        insideThePaper(book);
        std::set<int> uprights;
        qreal least = 1e9;
        for (const Mark& m : book.marks(0)) {
            const auto* l = std::get_if<Mark::Line>(&m.is);
            // Those of the table: the furniture has none that stand within the body's width.
            if (l == nullptr || l->from.x() != l->to.x() || l->stroke != Mark::Line::Stroke::Solid ||
                m.extent.top() < book.format().body().top() + paper::points(30))
                continue;
            uprights.insert(static_cast<int>(l->from.x()));
            if (m.extent.height() > paper::points(16)) least = std::min(least, m.extent.height());
        }
        QCOMPARE(uprights.size(), std::size_t(4));
        const int first = *uprights.begin(), wide = *std::next(uprights.begin()) - first;
        QVERIFY(std::abs((*uprights.rbegin() - first) - 3 * wide) <= 3);
        QVERIFY(least >= paper::points(20));
    }

    void aWideDrawingStandsAlongThePage() {
        const auto figureOf = [](double width, double height) {
            report::Figure figure;
            figure.drawing.width = width;
            figure.drawing.height = height;
            figure.drawing.shapes = {
                report::Drawing::Text{{width / 2, height / 2}, "3.60 m", report::Drawing::Text::Anchor::Middle, report::Drawing::Ink::Full, 11, 0}};
            const PageBook book(oneSection({{figure}}), {});
            insideThePaper(book);
            for (const Mark& m : book.marks(0))
                if (const auto* f = std::get_if<Mark::Figure>(&m.is)) return *f;
            return Mark::Figure{};
        };
        QVERIFY(!figureOf(500, 200).turned);
        const Mark::Figure wide = figureOf(1100, 300);
        QVERIFY(wide.turned);
        // Its letters are larger than they would be across.
        QVERIFY(wide.scale > 1.4 * PageFormat().body().width() / 1100);
        QVERIFY(!figureOf(300, 1100).turned);
    }

    void headingsStayWithWhatFollows() {
        for (int lines = 1; lines < 80; ++lines) {
            std::vector<report::Block> blocks;
            for (int i = 0; i < lines; ++i) blocks.push_back(paragraph("words"));
            blocks.push_back({report::Heading{3, {report::plainText("Heading")}, ""}});
            blocks.push_back(paragraph("what follows"));
            const PageBook book(oneSection(std::move(blocks)), {});
            for (int page = 0; page < book.pageCount(); ++page) QVERIFY(lastWords(book, page) != QStringLiteral("Heading"));
        }
    }

    void linesOfACalculationAreNotBrokenAndLongTablesRepeatTheirHeads() {
        std::vector<report::Block> blocks;
        for (int i = 0; i < 90; ++i) {
            report::CalcLine line;
            line.id = "m1-r" + std::to_string(i + 1);
            line.calculation = {paragraph("top " + std::to_string(i)), paragraph("middle"), paragraph("bottom " + std::to_string(i))};
            line.result = {{report::plainText("result")}};
            blocks.push_back({line});
        }
        const PageBook book(oneSection(blocks, true), {});
        QVERIFY(book.pageCount() > 2);
        for (int page = 0; page < book.pageCount(); ++page) {
            const QString words = wordsOf(book, page);
            for (int i = 0; i < 90; ++i) QCOMPARE(words.contains(QStringLiteral("top %1\n").arg(i)), words.contains(QStringLiteral("bottom %1\n").arg(i)));
        }
        report::Table table;
        table.columns = {{"case name", report::Table::Align::Left, false}, {"value", report::Table::Align::Right, false}};
        for (int i = 0; i < 200; ++i) table.rows.push_back({{report::plainText("row")}, {report::plainText("1 kN")}});
        report::CalcLine long1;
        long1.calculation = {{table}};
        for (const bool inside : {false, true}) {
            const PageBook pages(oneSection({inside ? report::Block{long1} : report::Block{table}}, true), {});
            QVERIFY(pages.pageCount() > 2);
            for (int page = 0; page < pages.pageCount(); ++page) QCOMPARE(wordsOf(pages, page).count(QStringLiteral("case name")), 1);
        }
    }

    void contentsLeadToTheRightPages() {
        const PageBook book(example(), {});
        int numbers = 0;
        for (int page = 0; page < book.pageCount(); ++page) {
            for (const Mark& m : book.marks(page)) {
                const auto* n = std::get_if<Mark::PageNumber>(&m.is);
                if (n == nullptr) continue;
                ++numbers;
                QVERIFY(book.pageOf(n->target) > 0);
            }
        }
        QVERIFY(numbers >= 9);
        for (std::size_t i = 0; i < exampleFacts().members.size(); ++i) {
            const int at = book.pageOf(report::memberId(i));
            if (at == 0) continue;
            QCOMPARE(book.memberOn(at - 1), exampleFacts().members[i].view.mark);
            QVERIFY(at == 1 || book.memberOn(at - 2) != book.memberOn(at - 1));
        }
        QVERIFY(wordsOf(book, book.pageOf("schedule") - 1).contains(QStringLiteral("Schedule")));
        QCOMPARE(book.pageOf("nowhere"), 0);
    }

    void theSamePagesGiveTheSameBytes() {
        report::ReportScope scope;
        scope.members = {0};
        const Document d = report::reportDocument(exampleFacts(), scope);
        std::string problem;
        const std::string one = paper::PdfWriter().write(d, PaperWriter::Size::A4, problem), two = paper::PdfWriter().write(d, PaperWriter::Size::A4, problem);
        QVERIFY(problem.empty());
        QVERIFY(one == two);
        QVERIFY(one.substr(0, 5) == "%PDF-");
    }

    void textCanBeTakenOutOfTheFile() {
        std::vector<report::Block> blocks{paragraph("final deflection of the flange, office floor, ffi"), {report::Paragraph{{report::nameText("sigma_m_d")}}}};
        std::string problem;
        const QString text = pdfText(paper::PdfWriter().write(oneSection(std::move(blocks)), PaperWriter::Size::A4, problem));
        if (text.isEmpty()) QSKIP("pdftotext (poppler-utils) is not installed: no text was taken out of the PDF");
        QVERIFY2(text.contains(QStringLiteral("final deflection of the flange, office floor, ffi")), qPrintable(text));
        QVERIFY(text.contains(QStringLiteral("σ")));
        QVERIFY(text.contains(QStringLiteral("page 1 of 1")));
        QVERIFY(text.contains(QStringLiteral("inputs ABC-DEF-GHJ")));
        QVERIFY(text.contains(QStringLiteral("J1")));
    }

    void everyBlockAndShapeLeavesInk() {
        using Drawing = report::Drawing;
        report::Figure figure;
        figure.drawing.width = 100;
        figure.drawing.height = 60;
        figure.drawing.shapes = {Drawing::Strokes{{{5, 5}, {95, 5}}, Drawing::Ink::Full, 2}, Drawing::Filled{{{5, 20}, {40, 20}, {20, 50}}}};
        report::Table table;
        table.columns = {{"a", report::Table::Align::Left, false}};
        table.rows = {{{report::plainText("cell")}}};
        report::Equation equation;
        equation.lines = {{{meaning::Box::Kind::Name, "x", {}}, "=", {meaning::Box::Kind::Number, "1", {}}}};
        report::CalcLine line;
        line.calculation = {paragraph("words")};
        const std::vector<report::Block> all{{report::Heading{2, {report::plainText("Heading")}, ""}},
                                             paragraph("words"),
                                             {report::Bullets{{{{report::plainText("item")}, {}}}}},
                                             {table},
                                             {equation},
                                             {line},
                                             {report::Framed{"frame", {paragraph("words")}}},
                                             {figure}};
        const auto inkOf = [](std::vector<report::Block> blocks) {
            const PageBook book(oneSection(std::move(blocks)), {});
            QImage image((book.format().paper() / 10).toSize(), QImage::Format_Grayscale8);
            image.fill(Qt::white);
            QPainter p(&image);
            p.scale(0.1, 0.1);
            book.paint(p, 0);
            p.end();
            int n = 0;
            for (int y = 0; y < image.height(); ++y)
                for (int x = 0; x < image.width(); ++x) n += qGray(image.pixel(x, y)) < 128 ? 1 : 0;
            return n;
        };
        const int none = inkOf({});
        for (const report::Block& b : all) QVERIFY(inkOf({b}) > none + 20);
        report::Block inner{report::Framed{"frame", all}};
        QVERIFY(inkOf({inner}) > none + 500);
    }
};

SPANWRIGHT_QT_TEST(PageBookTest);
#include "page_book_test.moc"
