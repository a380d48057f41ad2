// SPDX-License-Identifier: MIT
#pragma once

#include <QObject>

#include <functional>
#include <memory>
#include <vector>

/// All test classes of one program: QTEST_MAIN knows only one.
inline std::vector<std::function<std::unique_ptr<QObject>()>>& testList() {
    static std::vector<std::function<std::unique_ptr<QObject>()>> list;
    return list;
}

struct TestEntry {
    explicit TestEntry(std::function<std::unique_ptr<QObject>()> make) { testList().push_back(std::move(make)); }
};

/// At the end of a *_test.cpp, before its moc.
#define SPANWRIGHT_QT_TEST(Class) static const TestEntry kEntryOf##Class([] { return std::make_unique<Class>(); })
