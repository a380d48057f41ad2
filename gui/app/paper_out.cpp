// SPDX-License-Identifier: MIT
#include "gui/app/paper_out.h"

#include <QFile>
#include <QFileInfo>
#include <QPainter>
#include <QPrinter>
#include <QTemporaryFile>

#include <utility>

#include "engine/io/files.h"
#include "gui/models/text.h"
#include "gui/paper/pdf_writer.h"

namespace spanwright::app {

using models::fromUtf8;
using models::toUtf8;
using GoOn = std::function<bool(std::size_t, std::size_t)>;

namespace {

/// Bytes of a file that is whole, to where they belong: all or nothing.
QString keep(const QString& path, const std::string& bytes) {
    io::Disk disk;
    const auto written = disk.write(toUtf8(path), bytes);
    return written.ok() ? QString() : fromUtf8(written.error().message);
}

/// Paints the pages; false where it was stopped.
bool paintAll(const paper::PageBook& book, QPrinter& printer, QPainter& painter, int first, int last, const GoOn& goOn) {
    const qreal scale = printer.resolution() / (72 * paper::kPerPoint);
    for (int page = first; page <= last; ++page) {
        if (!goOn(static_cast<std::size_t>(page - first), static_cast<std::size_t>(last - first + 1))) return false;
        if (page > first && !printer.newPage()) break;
        painter.save();
        painter.scale(scale, scale);
        book.paint(painter, page - 1);
        painter.restore();
    }
    return true;
}

} // namespace

PaperOut::~PaperOut() { stop(); }

void PaperOut::stop() {
    if (m_stop) *m_stop = true;
}

void PaperOut::run(const std::function<std::pair<End, QString>(const GoOn&)>& work) {
    if (isRunning()) return;
    m_stop = std::make_shared<std::atomic<bool>>(false);
    m_run.start([this, work, stop = m_stop](const trial::Control& control) -> models::AsideRun::Take {
        const auto goOn = [&](std::size_t done, std::size_t total) { return control.progress(done, total) && !stop->load(std::memory_order_relaxed); };
        return [this, end = work(goOn)] { Q_EMIT ended(end.first, end.second); };
    });
}

void PaperOut::save(const Book& book, const QString& path) {
    run([book, path](const GoOn& goOn) -> std::pair<End, QString> {
        const std::string bytes = paper::writePdf(*book, goOn);
        if (bytes.empty() || !goOn(1, 1)) return {End::Stopped, tr("%1 was not written").arg(path)};
        const QString why = keep(path, bytes);
        if (why.isEmpty()) return {End::Done, tr("written to %1").arg(path)};
        return {End::Failed, tr("%1 could not be written: %2").arg(path, why)};
    });
}

void PaperOut::print(const Book& book, const std::shared_ptr<QPrinter>& printer, int first, int last) {
    run([book, printer, first, last](const GoOn& goOn) -> std::pair<End, QString> {
        // "Printed" to a file: that, too, is whole or not there.
        const QString path = printer->outputFileName();
        QTemporaryFile beside(path.isEmpty() ? QString() : QFileInfo(path).absolutePath() + QStringLiteral("/.spanwright-XXXXXX.pdf"));
        if (!path.isEmpty()) {
            if (!beside.open()) return {End::Failed, tr("%1 could not be written: %2").arg(path, beside.errorString())};
            printer->setOutputFileName(beside.fileName());
        }
        QPainter painter;
        if (!painter.begin(printer.get())) return {End::Failed, tr("The printer could not be started.")};
        const bool all = paintAll(*book, *printer, painter, first, last, goOn);
        if (!all) printer->abort();
        painter.end();
        if (!all) return {End::Stopped, tr("printing was stopped; the printer may hold some of the pages already")};
        if (path.isEmpty()) return {End::Done, tr("sent to the printer")};
        QFile file(beside.fileName());
        const QString why = file.open(QIODevice::ReadOnly) ? keep(path, file.readAll().toStdString()) : file.errorString();
        if (why.isEmpty()) return {End::Done, tr("written to %1").arg(path)};
        return {End::Failed, tr("%1 could not be written: %2").arg(path, why)};
    });
}

} // namespace spanwright::app
