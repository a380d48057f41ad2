// SPDX-License-Identifier: MIT
// Not a test: how long it takes from the start of the program to the first picture of the window, beside a window of
// Qt with nothing in it, in turns, each in a process of its own.
//
//   xvfb-run -a spanwright_first_paint LIBRARY [TURNS]
#include <QApplication>
#include <QMainWindow>
#include <QProcess>
#include <QStandardPaths>
#include <QTemporaryDir>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <vector>

#include "gui/app/desk_window.h"
#include "gui/views/paper_style.h"

namespace {

long long now() { return std::chrono::duration_cast<std::chrono::microseconds>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

/// Tells the time of the first paint event of a widget and ends the program.
class FirstPaint : public QObject {
public:
    FirstPaint(QWidget& widget, long long start) : m_start(start) { widget.installEventFilter(this); }

protected:
    bool eventFilter(QObject* object, QEvent* event) override {
        if (event->type() == QEvent::Paint && !m_seen) {
            m_seen = true;
            // Once it has been painted, not when it is about to be.
            QMetaObject::invokeMethod(
                this,
                [this] {
                    std::printf("%lld\n", now() - m_start);
                    std::fflush(stdout);
                    QApplication::quit();
                },
                Qt::QueuedConnection);
        }
        return QObject::eventFilter(object, event);
    }

private:
    long long m_start;
    bool m_seen = false;
};

double median(std::vector<double> v) {
    std::sort(v.begin(), v.end());
    return v.empty() ? 0 : v[v.size() / 2];
}

} // namespace

int main(int argc, char** argv) {
    QApplication app(argc, argv);
    QStandardPaths::setTestModeEnabled(true);
    QApplication::setStyle(new spanwright::views::PaperStyle);
    const QStringList words = QApplication::arguments();
    if (words.size() == 5 && words[1] == QStringLiteral("--child")) {
        const long long start = words[3].toLongLong();
        if (words[2] == QStringLiteral("empty")) {
            QMainWindow window;
            window.resize(1280, 800);
            const FirstPaint watch(window, start);
            window.show();
            return QApplication::exec();
        }
        const QTemporaryDir dir;
        spanwright::app::DeskWindow window(words[4], dir.filePath(QStringLiteral("journal")));
        const FirstPaint watch(window, start);
        window.show();
        return QApplication::exec();
    }
    if (words.size() < 2) {
        std::fprintf(stderr, "give the folder of the ready sheets\n");
        return 2;
    }
    const int turns = words.size() > 2 ? words[2].toInt() : 11;
    std::vector<double> desk, empty, ratio;
    for (int turn = 0; turn < turns; ++turn) {
        double took[2] = {0, 0};
        for (int which = 0; which < 2; ++which) {
            QProcess child;
            child.start(QApplication::applicationFilePath(),
                        {QStringLiteral("--child"), which == 0 ? QStringLiteral("empty") : QStringLiteral("desk"), QString::number(now()), words[1]});
            if (!child.waitForFinished(60'000)) return 1;
            took[which] = child.readAllStandardOutput().trimmed().toDouble() / 1000.0;
            if (took[which] <= 0) return 1;
        }
        empty.push_back(took[0]);
        desk.push_back(took[1]);
        ratio.push_back(took[1] / took[0]);
    }
    std::printf("first paint, medians of %d turns: empty window %.0f ms, first page %.0f ms, ratio %.2f\n", turns, median(empty), median(desk), median(ratio));
    return 0;
}
