#include <cstdio>

#include "shop/sentence.hpp"
#include "shop/told.hpp"

namespace boxfettle::told_as {
namespace {

std::string hours(double hours) {
  char digits[40];
  std::snprintf(digits, sizeof digits, "%.3g h", hours);
  return digits;
}

std::string clock(std::int64_t minute) {
  char text[16];
  std::snprintf(text, sizeof text, "%02d:%02d", static_cast<int>(minute / 60 % 100),
                static_cast<int>(minute % 60));
  return text;
}

}  // namespace

std::string told(const JobRaised& body) {
  std::vector<std::string> parts;
  for (const PartNeeded& part : body.parts) parts.push_back(std::to_string(part.count) + " x " + part.spare);
  return "Tool-room job " + body.job + ", " + body.skill + ", " + hours(body.hours) +
         in_brackets(joined(parts)) + ": " + ended(body.what);
}
std::string told(const JobStarted& body) {
  return body.fitter + " started job " + body.job + ".";
}
std::string told(const JobDone& body) {
  return "Job " + body.job + " done in " + hours(body.hours) +
         (body.remark.empty() ? "." : ": " + ended(body.remark));
}
std::string told(const JobDropped& body) {
  return "Job " + body.job + " dropped: " + ended(body.why);
}
std::string told(const RunPlanned& body) {
  return "Run planned, " + body.plan + ": " + body.start.iso().substr(0, 16) + " UTC, " +
         std::to_string(body.quantity) + " cores" + (body.order.empty() ? "" : ", order " + body.order) +
         (body.station.empty() ? "" : ", on " + body.station) + ".";
}
std::string told(const RunUnplanned& body) {
  return "Planned run " + body.plan + " taken out: " + ended(body.why);
}
std::string told(const SpareCounted& body) {
  return "Spare " + body.spare + in_brackets(body.words) + ": " + std::to_string(body.count) + " there, " +
         std::to_string(body.minimum) + " is the least" +
         (body.ordered > 0 ? ", " + std::to_string(body.ordered) + " ordered" +
                                 (body.arrives ? " for " + body.arrives->date() : std::string())
                           : std::string()) +
         ".";
}
std::string told(const FitterHours& body) {
  if (body.to_minute == 0) return body.fitter + " no longer works in the tool-room.";
  return body.fitter + " works from " + clock(body.from_minute) + " to " + clock(body.to_minute) + " UTC" +
         in_brackets(joined(body.skills)) + ".";
}
std::string told(const FitterAway& body) {
  return (body.fitter.empty() ? "The tool-room is closed" : body.fitter + " is away") + " from " +
         body.from.iso().substr(0, 16) + " to " + body.to.iso().substr(0, 16) + " UTC" +
         (body.why.empty() ? "." : ": " + ended(body.why));
}
std::string told(const PlaceRegistered& body) {
  return "Label " + body.label + " stands for " + words(body.place) + ".";
}
std::string told(const SandMixed& body) {
  return "Sand mix " + body.mix + (body.words.empty() ? "." : ": " + ended(body.words));
}
std::string told(const ShopCareChosen& body) {
  return "Care for " + (body.process.empty() ? "every process" : body.process) +
         (body.care.empty() ? " as shipped again: " : ", " + count_of(body.care.size(), "rule") + ": ") +
         ended(body.why);
}
std::string told(const CatalogueWritten& body) {
  return "The inspection's checkpoints were written anew: " + ended(body.why);
}

}  // namespace boxfettle::told_as
