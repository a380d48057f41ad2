// SPDX-License-Identifier: MIT
// The ways through the file, read back by the library that knows the format.
#include <QTest>

#include <set>

#define POINTERHOLDER_TRANSITION 4
#include <qpdf/QPDF.hh>
#include <qpdf/QPDFObjectHandle.hh>

#include "gui/paper/pdf_writer.h"
#include "tests/gui/paper/paper_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using namespace spanwright::paper::trial;
using paper::PageBook;
using report::PaperWriter;
using Handle = QPDFObjectHandle;

namespace {

/// The reviewed joist with its tick, what carries it, and what it takes values from.
const report::Document& example() {
    static const report::Document kDocument = exampleOf({"J1", "H2", "T1"});
    return kDocument;
}

struct File {
    PageBook book;
    std::string bytes;
    QPDF pdf;
    std::vector<Handle> pages;

    explicit File(const report::Document& d, PaperWriter::Size size = PaperWriter::Size::A4) : book(d, formatOf(size)) {
        bytes = paper::writePdf(book);
        pdf.setSuppressWarnings(true);
        pdf.processMemoryFile("trial", bytes.data(), bytes.size());
        pages = pdf.getAllPages();
    }
    /// The first is 1; 0 where it leads nowhere.
    [[nodiscard]] int pageOf(const Handle& destination) const {
        Handle d = destination;
        if (!d.isArray() || d.getArrayNItems() != 5 || d.getArrayItem(1).getName() != "/XYZ") return 0;
        for (std::size_t i = 0; i < pages.size(); ++i) {
            Handle page = pages[i];
            if (page.getObjGen() == d.getArrayItem(0).getObjGen()) return static_cast<int>(i) + 1;
        }
        return 0;
    }
};

void walk(const File& file, Handle item, int depth, std::vector<PageBook::Bookmark>& out) {
    for (; item.isDictionary(); item = item.getKey("/Next")) {
        PageBook::Bookmark b;
        b.depth = depth;
        b.text = QString::fromStdString(item.getKey("/Title").getUTF8Value());
        b.to.page = file.pageOf(item.getKey("/Dest"));
        out.push_back(b);
        walk(file, item.getKey("/First"), depth + 1, out);
    }
}

} // namespace

class PdfWaysTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void bookmarksLeadToTheirHeadings() {
        File file(example());
        QVERIFY(file.pdf.getWarnings().empty());
        QCOMPARE(static_cast<int>(file.pages.size()), file.book.pageCount());
        Handle root = file.pdf.getRoot();
        QCOMPARE(root.getKey("/PageMode").getName(), std::string("/UseOutlines"));
        std::vector<PageBook::Bookmark> read;
        walk(file, root.getKey("/Outlines").getKey("/First"), 0, read);
        QCOMPARE(read.size(), file.book.bookmarks().size());
        std::set<QString> top;
        for (std::size_t i = 0; i < read.size(); ++i) {
            const PageBook::Bookmark& b = file.book.bookmarks()[i];
            QCOMPARE(read[i].text, b.text);
            QCOMPARE(read[i].to.page, b.to.page);
            if (read[i].depth == 0) top.insert(b.text.section(QLatin1Char(' '), 0, 0));
            // The first words of the heading stand on that page.
            QVERIFY2(wordsOf(file.book, b.to.page - 1).contains(b.text.section(QLatin1Char(' '), 0, 0)), qPrintable(b.text));
        }
        for (const char* text : {"Contents", "J1", "H2", "T1"}) QVERIFY2(top.count(QLatin1String(text)) == 1, text);
        // Parts of a sheet are below their member.
        QVERIFY(std::any_of(read.begin(), read.end(), [](const auto& b) { return b.depth == 1 && b.text == QStringLiteral("Bending"); }));
    }

    void linksLeadToTheirPages() {
        File file(example());
        std::size_t all = 0, toOthers = 0;
        for (std::size_t i = 0; i < file.pages.size(); ++i) {
            const std::vector<PageBook::Link> links = file.book.links(static_cast<int>(i));
            Handle list = file.pages[i].getKey("/Annots");
            QCOMPARE(list.isArray() ? static_cast<std::size_t>(list.getArrayNItems()) : 0, links.size());
            for (std::size_t n = 0; n < links.size(); ++n) {
                Handle link = list.getArrayItem(static_cast<int>(n));
                QCOMPARE(link.getKey("/Subtype").getName(), std::string("/Link"));
                QCOMPARE(file.pageOf(link.getKey("/Dest")), links[n].to.page);
                const Handle::Rectangle r = link.getKey("/Rect").getArrayAsRectangle();
                QVERIFY(r.llx >= 0 && r.lly >= 0 && r.urx <= 596 && r.ury <= 843 && r.urx > r.llx && r.ury > r.lly);
                ++all;
                if (!file.book.memberOn(static_cast<int>(i)).empty() && file.book.memberOn(links[n].to.page - 1) != file.book.memberOn(static_cast<int>(i)))
                    ++toOthers;
            }
        }
        QVERIFY(all > 40);
        // H2 and T1 take reactions of other members, and lead there.
        QVERIFY(toOthers >= 2);
    }

    void theFileSaysWhatTheJobSaysAndNoClock() {
        report::Document d = example();
        for (const char* date : {"2026-05-04", "", "spring"}) {
            d.date = date;
            File file(d);
            Handle info = file.pdf.getTrailer().getKey("/Info");
            QCOMPARE(info.getKey("/Title").getUTF8Value(), d.title);
            QCOMPARE(info.getKey("/Author").getUTF8Value(), d.author);
            QCOMPARE(info.getKey("/Subject").getUTF8Value(), "inputs " + d.fingerprint);
            QCOMPARE(info.hasKey("/CreationDate"), std::string(date).size() == 10);
            if (info.hasKey("/CreationDate")) QCOMPARE(info.getKey("/CreationDate").getStringValue(), std::string("D:20260504"));
            QVERIFY(!info.hasKey("/ModDate"));
            QCOMPARE(paper::writePdf(file.book), file.bytes);
            // Pages are called what is printed on them.
            QCOMPARE(file.pdf.getRoot().getKey("/PageLabels").unparseResolved(), std::string("<< /Nums [ 0 << /S /D >> ] >>"));
        }
    }

    void thePaperIsOfTheSizeAskedFor() {
        for (const auto& [size, wide, tall] : {std::tuple{PaperWriter::Size::A4, 595.0, 842.0}, {PaperWriter::Size::Letter, 612.0, 792.0}}) {
            File file(example(), size);
            const Handle::Rectangle r = file.pages.front().getKey("/MediaBox").getArrayAsRectangle();
            QCOMPARE(r.urx, wide);
            QCOMPARE(r.ury, tall);
        }
    }
};

SPANWRIGHT_QT_TEST(PdfWaysTest);
#include "pdf_ways_test.moc"
