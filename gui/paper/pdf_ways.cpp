// SPDX-License-Identifier: MIT
#include "gui/paper/pdf_ways.h"

#include <QRegularExpression>

#include <qpdf/Buffer.hh>
#include <qpdf/QPDF.hh>
#include <qpdf/QPDFObjectHandle.hh>
#include <qpdf/QPDFWriter.hh>

#include <memory>

#include "gui/paper/page_book.h"

namespace spanwright::paper {

namespace {

using Handle = QPDFObjectHandle;

Handle text(const QString& words) { return Handle::newUnicodeString(words.toStdString()); }
Handle real(double v) { return Handle::newReal(v, 2); }

class Ways {
public:
    Ways(QPDF& pdf, const PageBook& book) : m_pdf(pdf), m_book(book), m_pages(pdf.getAllPages()), m_height(book.format().paper().height()) {}

    void add() {
        links();
        bookmarks();
        Handle root = m_pdf.getRoot();
        root.replaceKey("/PageLabels", Handle::parse("<< /Nums [ 0 << /S /D >> ] >>"));
        root.replaceKey("/Lang", Handle::newString("en"));
        root.replaceKey("/ViewerPreferences", Handle::parse("<< /DisplayDocTitle true >>"));
        about();
    }

private:
    QPDF& m_pdf;
    const PageBook& m_book;
    std::vector<Handle> m_pages;
    qreal m_height;

    [[nodiscard]] double up(qreal y) const { return (m_height - y) / kPerPoint; }
    [[nodiscard]] Handle destination(const PageBook::Place& to) const {
        Handle out = Handle::newArray();
        out.appendItem(m_pages.at(static_cast<std::size_t>(to.page - 1)));
        out.appendItem(Handle::newName("/XYZ"));
        out.appendItem(Handle::newNull());
        // A little above, so that it does not stick to the edge of the screen.
        out.appendItem(real(up(to.top - points(8))));
        out.appendItem(Handle::newNull());
        return out;
    }
    void links() {
        for (int page = 0; page < m_book.pageCount(); ++page) {
            Handle list = Handle::newArray();
            for (const PageBook::Link& l : m_book.links(page)) {
                Handle link = Handle::parse("<< /Type /Annot /Subtype /Link /Border [ 0 0 0 ] /F 4 >>");
                Handle rect = Handle::newArray();
                for (const double v : {l.from.left() / kPerPoint, up(l.from.bottom()), l.from.right() / kPerPoint, up(l.from.top())}) rect.appendItem(real(v));
                link.replaceKey("/Rect", rect);
                link.replaceKey("/Dest", destination(l.to));
                list.appendItem(m_pdf.makeIndirectObject(link));
            }
            if (list.getArrayNItems() > 0) m_pages.at(static_cast<std::size_t>(page)).replaceKey("/Annots", list);
        }
    }
    void bookmarks() {
        struct Open {
            int depth;
            Handle item;
        };
        if (m_book.bookmarks().empty()) return;
        Handle root = m_pdf.makeIndirectObject(Handle::parse("<< /Type /Outlines >>"));
        std::vector<Open> path{{-1, root}};
        std::int64_t top = 0;
        for (const PageBook::Bookmark& b : m_book.bookmarks()) {
            while (path.back().depth >= b.depth) path.pop_back();
            Handle parent = path.back().item;
            Handle item = m_pdf.makeIndirectObject(Handle::newDictionary());
            item.replaceKey("/Title", text(b.text));
            item.replaceKey("/Parent", parent);
            item.replaceKey("/Dest", destination(b.to));
            if (parent.hasKey("/Last")) {
                Handle before = parent.getKey("/Last");
                before.replaceKey("/Next", item);
                item.replaceKey("/Prev", before);
            } else {
                parent.replaceKey("/First", item);
            }
            parent.replaceKey("/Last", item);
            // What is below a bookmark is folded away, which a negative count says.
            if (path.size() == 1)
                ++top;
            else
                parent.replaceKey("/Count", Handle::newInteger((parent.hasKey("/Count") ? parent.getKey("/Count").getIntValue() : 0) - 1));
            path.push_back({b.depth, item});
        }
        root.replaceKey("/Count", Handle::newInteger(top));
        m_pdf.getRoot().replaceKey("/Outlines", root);
        m_pdf.getRoot().replaceKey("/PageMode", Handle::newName("/UseOutlines"));
    }
    void about() {
        Handle info = m_pdf.getTrailer().getKey("/Info");
        if (!info.isDictionary()) return;
        const PageBook::About& a = m_book.about();
        if (!a.author.isEmpty()) info.replaceKey("/Author", text(a.author));
        if (!a.subject.isEmpty()) info.replaceKey("/Subject", text(a.subject));
        // The job's own date; a file without one says nothing about when it was made.
        static const QRegularExpression kDay(QStringLiteral("^(\\d{4})-(0[1-9]|1[0-2])-(0[1-9]|[12]\\d|3[01])$"));
        const QRegularExpressionMatch day = kDay.match(a.date);
        if (day.hasMatch()) info.replaceKey("/CreationDate", Handle::newString("D:" + (day.captured(1) + day.captured(2) + day.captured(3)).toStdString()));
    }
};

} // namespace

std::string withWays(const std::string& pdf, const PageBook& book) {
    QPDF file;
    file.setSuppressWarnings(true);
    file.processMemoryFile("calculation", pdf.data(), pdf.size());
    Ways(file, book).add();
    QPDFWriter writer(file);
    writer.setOutputMemory();
    writer.setObjectStreamMode(qpdf_o_generate);
    writer.setDeterministicID(true);
    writer.write();
    const std::shared_ptr<Buffer> bytes = writer.getBufferSharedPointer();
    return {reinterpret_cast<const char*>(bytes->getBuffer()), bytes->getSize()};
}

} // namespace spanwright::paper
