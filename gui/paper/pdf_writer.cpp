// SPDX-License-Identifier: MIT
#include "gui/paper/pdf_writer.h"

#include <QBuffer>
#include <QGuiApplication>
#include <QHashFunctions>
#include <QPainter>
#include <QPdfWriter>

#include "gui/paper/page_book.h"
#include "gui/paper/pdf_ways.h"

namespace spanwright::paper {

namespace {

/// Fonts are written in the order of a hash table: for a while tables are seeded alike in every run.
class SteadyHashes {
public:
    SteadyHashes() { QHashSeed::setDeterministicGlobalSeed(); }
    ~SteadyHashes() { QHashSeed::resetRandomGlobalSeed(); }
    SteadyHashes(const SteadyHashes&) = delete;
    SteadyHashes& operator=(const SteadyHashes&) = delete;
};

/// When a file was made is not among what it says: `(D:2026...)` becomes as many blanks, so that no place in the file moves.
void withoutClock(QByteArray& bytes) {
    for (const char* key : {"/CreationDate (", "/ModDate ("}) {
        qsizetype at = bytes.lastIndexOf(key);
        if (at < 0) continue;
        const qsizetype end = bytes.indexOf(')', at);
        for (; at >= 0 && at <= end; ++at) bytes[at] = ' ';
    }
}

} // namespace

std::string writePdf(const PageBook& book, const std::function<bool(std::size_t done, std::size_t total)>& goOn) {
    const SteadyHashes steady;
    const auto pages = static_cast<std::size_t>(book.pageCount());
    const auto goesOn = [&](std::size_t done) { return !goOn || goOn(done, pages); };
    QByteArray bytes;
    QBuffer buffer(&bytes);
    buffer.open(QIODevice::WriteOnly);
    {
        QPdfWriter writer(&buffer);
        writer.setResolution(static_cast<int>(72 * kPerPoint));
        writer.setTitle(book.title());
        writer.setCreator(QStringLiteral("spanwright"));
        const QPageSize size(book.format().size == report::PaperWriter::Size::A4 ? QPageSize::A4 : QPageSize::Letter);
        writer.setPageLayout(QPageLayout(size, QPageLayout::Portrait, QMarginsF()));
        QPainter painter(&writer);
        for (int page = 0; page < book.pageCount(); ++page) {
            if (!goesOn(static_cast<std::size_t>(page))) return {};
            if (page > 0) writer.newPage();
            book.paint(painter, page);
        }
    }
    if (!goesOn(pages)) return {};
    withoutClock(bytes);
    return withWays(bytes.toStdString(), book);
}

std::string PdfWriter::write(const report::Document& document, Size size, std::string& problem) const {
    std::unique_ptr<QGuiApplication> application;
    static int count = 1;
    static char name[] = "spanwright";
    static char* names[] = {name, nullptr};
    if (QCoreApplication::instance() == nullptr) {
        // Fonts are all that is wanted of it; what it says about sessions and displays is of no concern.
        qputenv("QT_QPA_PLATFORM", "offscreen");
        const QtMessageHandler before = qInstallMessageHandler([](QtMsgType, const QMessageLogContext&, const QString&) {});
        application = std::make_unique<QGuiApplication>(count, names);
        qInstallMessageHandler(before);
    }
    if (qobject_cast<QGuiApplication*>(QCoreApplication::instance()) == nullptr) {
        problem = "there are no fonts to write with";
        return {};
    }
    PageFormat format;
    format.size = size;
    return writePdf(PageBook(document, format));
}

} // namespace spanwright::paper
