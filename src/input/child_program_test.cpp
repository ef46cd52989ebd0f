// A program that is trusted with nothing: what it may cost, and how its end is told.
#include "input/child_program.hpp"

#include <gmock/gmock.h>
#include <signal.h>

#include <stdexcept>

namespace boxfettle {
namespace {

using How = ChildEnd::How;
using std::chrono::seconds;

ChildEnd shell(const std::string& script, const ChildLimits& limits = {}) {
  return run_child_program("/bin/sh", {"-c", script}, limits);
}

std::string text(const ChildEnd& end) {
  return {reinterpret_cast<const char*>(end.written.data()), end.written.size()};
}

TEST(ChildProgram, WhatItWritesAndHowItLeavesAreTold) {
  const ChildEnd end = shell("printf 'sand'; printf 'lost' >&2; exit 3");
  EXPECT_EQ(end.how, How::left);
  EXPECT_EQ(end.code, 3);
  EXPECT_EQ(text(end), "sand");
}

TEST(ChildProgram, ItsWordsArriveAsTheyAreWithoutAShellBetween) {
  EXPECT_EQ(text(run_child_program("/bin/echo", {"a b", "$HOME", "*"}, {})), "a b $HOME *\n");
}

TEST(ChildProgram, ASignalThatEndsItIsTold) {
  const ChildEnd end = shell("kill -SEGV $$");
  EXPECT_EQ(end.how, How::by_signal);
  EXPECT_EQ(end.code, SIGSEGV);
}

TEST(ChildProgram, AMissingProgramIsNotStarted) {
  const ChildEnd end = run_child_program("/nowhere/at/all", {}, {});
  EXPECT_EQ(end.how, How::not_started);
  EXPECT_EQ(end.code, ENOENT);
}

TEST(ChildProgram, OneThatNeverEndsIsKilledWhetherItKeepsItsOutputOpenOrNot) {
  ChildLimits limits;
  limits.time = seconds(1);
  EXPECT_EQ(shell("sleep 600", limits).how, How::out_of_time);
  EXPECT_EQ(shell("exec >&-; sleep 600", limits).how, How::out_of_time);
  EXPECT_EQ(shell("while :; do :; done", limits).how, How::out_of_time);
}

TEST(ChildProgram, OneThatWritesWithoutEndIsKilled) {
  ChildLimits limits;
  limits.most_bytes = 1 << 20;
  const ChildEnd end = shell("exec cat /dev/zero", limits);
  EXPECT_EQ(end.how, How::wrote_too_much);
  EXPECT_TRUE(end.written.empty());
}

TEST(ChildProgram, WhoeverWaitsMayGiveUp) {
  ChildLimits limits;
  limits.while_waiting = [] { throw std::runtime_error("enough"); };
  EXPECT_THROW(shell("sleep 600", limits), std::runtime_error);
}

TEST(ChildProgram, NoOpenFileOfOursIsHandedDown) {
  // Descriptors 0 to 2, and the folder that ls itself has opened to look.
  EXPECT_EQ(text(run_child_program("/bin/ls", {"/proc/self/fd"}, {})), "0\n1\n2\n3\n");
}

}  // namespace
}  // namespace boxfettle
