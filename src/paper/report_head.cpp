#include <filesystem>

#include "paper/report_part.hpp"
#include "paper/report_words.hpp"

namespace boxfettle {
namespace {

constexpr double plate_width = 176;

std::string file_name(const std::string& path) {
  return std::filesystem::path(path).filename().string();
}

std::string title(const ReportSubject& subject) {
  if (subject.box != nullptr) return subject.box->id;
  return subject.facts.inputs.empty() ? "Core" : file_name(subject.facts.inputs.front().file);
}

std::string under_title(const ReportSubject& subject) {
  if (subject.box == nullptr) return "A core against its design; no box file was given";
  return subject.box->name;
}

std::string particulars(const ReportSubject& subject) {
  std::string text;
  if (subject.box != nullptr)
    text = std::string(name(subject.box->process)) + " box of " + std::string(name(subject.box->material)) +
           "  \u00b7  ";
  if (subject.facts.inputs.size() > 1)
    text += "scan " + file_name(subject.facts.inputs[1].file) + "  \u00b7  ";
  return text + "report of " + subject.facts.date;
}

void draw_plate(Sheet& sheet, const ReportSubject& subject, const Ground& ground) {
  const ScanVerdict verdict = subject.reading.verdict;
  sheet.frame(ground.x, ground.y, ground.width, ground.height, 1.4, ink::text);
  draw_sign(sheet, verdict, ground.x + 26, ground.y + 0.5 * ground.height, 15);
  const double left = ground.x + 52, room = ground.width - 58;
  double y = ground.y + 5;
  y += sheet.write(
      left, y,
      {.text = "VERDICT", .size_pt = 5.6, .weight = Weight::strong, .colour = ink::quiet, .spacing_pt = 0.8});
  y += sheet.write(left, y - 1.5,
                   {.text = capitals(name(verdict)),
                    .size_pt = verdict == ScanVerdict::cannot_tell ? 15.0 : 19.0,
                    .weight = Weight::bold}) -
       2.5;
  sheet.write(left, y,
              {.text = std::string(meaning(verdict)), .size_pt = 6.2, .width_pt = room, .most_lines = 2});
}

}  // namespace

void draw_head(Sheet& sheet, const ReportSubject& subject, const Ground& ground) {
  const double room = ground.width - plate_width - 16;
  double y = ground.y;
  const std::string shop = subject.facts.shop.empty() ? "" : subject.facts.shop + "  \u00b7  ";
  y += sheet.write(ground.x, y,
                   {.text = shop + (subject.of_half() ? "What the scan of its " + subject.what() + " says about a core box"
                                             : "What the scan of a core says about its core box"),
                    .size_pt = 7,
                    .weight = Weight::medium,
                    .colour = ink::quiet,
                    .width_pt = room,
                    .most_lines = 1});
  y += sheet.write(ground.x, y,
                   {.text = title(subject),
                    .size_pt = 21,
                    .weight = Weight::bold,
                    .width_pt = room,
                    .most_lines = 1}) -
       2;
  y += sheet.write(ground.x, y,
                   {.text = under_title(subject),
                    .size_pt = 10.5,
                    .weight = Weight::medium,
                    .width_pt = room,
                    .most_lines = 1}) +
       1;
  sheet.write(
      ground.x, y,
      {.text = particulars(subject), .size_pt = 7, .colour = ink::quiet, .width_pt = room, .most_lines = 1});
  draw_plate(sheet, subject, {ground.right() - plate_width, ground.y, plate_width, ground.height});
}

}  // namespace boxfettle
