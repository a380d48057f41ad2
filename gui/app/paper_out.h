// SPDX-License-Identifier: MIT
#pragma once

#include <QObject>
#include <QString>

#include <atomic>
#include <memory>

#include "gui/models/asking.h"
#include "gui/paper/page_book.h"

class QPrinter;

namespace spanwright::app {

/// Pages to a PDF file or to a printer, on a thread of its own. A file is there whole or it is not there: one that is stopped leaves
/// nothing behind, and what stood there before stands.
class PaperOut : public QObject {
    Q_OBJECT

public:
    explicit PaperOut(QObject* parent = nullptr) : QObject(parent) { connect(&m_run, &models::AsideRun::progressed, this, &PaperOut::progressed); }
    /// Stops, and waits for the thread's end.
    ~PaperOut() override;
    using Book = std::shared_ptr<const paper::PageBook>;
    void save(const Book& book, const QString& path);
    /// Pages are counted from 1. The printer is the thread's until ended() is sent.
    void print(const Book& book, const std::shared_ptr<QPrinter>& printer, int first, int last);
    void stop();
    [[nodiscard]] bool isRunning() const { return m_run.isRunning(); }
    enum class End : std::uint8_t { Done, Stopped, Failed };

Q_SIGNALS:
    void progressed(int permille);
    /// `words`: what was done, or why not.
    void ended(spanwright::app::PaperOut::End end, const QString& words);

private:
    using Stop = std::shared_ptr<std::atomic<bool>>;
    void run(const std::function<std::pair<End, QString>(const std::function<bool(std::size_t, std::size_t)>& goOn)>& work);
    Stop m_stop;
    models::AsideRun m_run;
};

} // namespace spanwright::app
