// SPDX-License-Identifier: Apache-2.0
// All words of the report's page. For another language, write this header anew: the names stay, and so does
// what stands in braces. Sentences of advice and findings come from calibration, as in every other answer.
#pragma once

#include <string>
#include <utility>

namespace braird::report::words {

inline constexpr const char* kLanguage = "en";

// Titles
inline constexpr const char* kSeason = "The season";
inline constexpr const char* kPhotosCounted = "{} photos counted";
inline constexpr const char* kLot = "Lot {}";
inline constexpr const char* kSowing = "Sown on {}";
inline constexpr const char* kSowingWithoutDay = "Sown on an unknown day";
inline constexpr const char* kTray = "Tray {}";
inline constexpr const char* kTrayWithoutTag = "Tray in {}";
inline constexpr const char* kTrayOfSeveral = "Tray {} of {} in {}";
inline constexpr const char* kTraysInPhoto = "{} trays in {}";
inline constexpr const char* kMadeOn = "Made on {} by braird {}. This page asks nothing of any network.";
inline constexpr const char* kNothingKept =
    "The ledger holds no such count yet. Keep one: braird count --keep PHOTO";
inline constexpr const char* kTooManyTrays =
    "So many trays are too much for one page, so they are left out; ask for a lot (--lot), or for less of "
    "the season (--since, --until, --crop).";

// Figures
inline constexpr const char* kTrays[] = {"tray", "trays"};
inline constexpr const char* kCells[] = {"cell", "cells"};
inline constexpr const char* kGapsCounted[] = {"gap", "gaps"};
inline constexpr const char* kWithOne = "with one";
inline constexpr const char* kWithSeveral = "with several";
inline constexpr const char* kSeedlings[] = {"seedling", "seedlings"};
inline constexpr const char* kDay = "day {:.0f}";
inline constexpr const char* kTaken = "photographed on {}";
inline constexpr const char* kSeedsACell[] = {"{} seed a cell", "{} seeds a cell"};
inline constexpr const char* kGermination = "Germination";
inline constexpr const char* kGaps = "Gaps";
inline constexpr const char* kInTheEnd = "In the end";
inline constexpr const char* kStillRising = "still rising";
inline constexpr const char* kRate = "{} %";
inline constexpr const char* kRange = "{} to {} %";
inline constexpr const char* kSeedlingsASeed = "{:.2f} a seed";
inline constexpr const char* kSeedlingsASeedRange = "{:.2f} to {:.2f}";
inline constexpr const char* kRateAloud = "{}: {}, 95 % interval {}";
inline constexpr const char* kNothingCounted = "Nothing counted yet.";
inline constexpr const char* kNoSeeds = "not known; tell the seeds a cell";
inline constexpr const char* kScaleNote =
    "The dot is the rate, the bar its 95 % interval; the thin line goes from 0 to 100 %, or as far as it "
    "says.";
inline constexpr const char* kPack = "pack {:.0f} %";
inline constexpr const char* kLaw = "law {} %";
inline constexpr const char* kHandChecked[] = {"{} cell was checked by hand.",
                                               "{} cells were checked by hand."};
inline constexpr const char* kLeftOut[] = {
    "{} early photo with next to nothing up and no tag is left out: which tray it is can't be told.",
    "{} early photos with next to nothing up and no tag are left out: which trays they are can't be told."};
inline constexpr const char* kTooYoung[] = {
    "{} tray is left out of the lot's germination and gaps: more may come up in it.",
    "{} trays are left out of the lot's germination and gaps: more may come up in them."};
inline constexpr const char* kCorrected =
    "Rates are corrected by the counter's error in {} cells that were drawn at random and checked by hand.";

// The tray
inline constexpr const char* kMap = "Map";
inline constexpr const char* kPhoto = "Photo";
inline constexpr const char* kMapAloud =
    "Map of {}: {} rows of {} cells. Arrow keys move, digits set a count.";
inline constexpr const char* kPhotoAloud = "Photo of {}, each cell's state marked on its rim";
inline constexpr const char* kMarks = "Marks";
inline constexpr const char* kLegendGap = "gap";
inline constexpr const char* kLegendOne = "one";
inline constexpr const char* kLegendSeveral = "several";
inline constexpr const char* kLegendLook = "look again";
inline constexpr const char* kLegendHand = "checked by hand";
inline constexpr const char* kLegendFinding = "stands out (numbers below)";
inline constexpr const char* kTapHint = "Tap a cell to see it close up and to correct its count.";
inline constexpr const char* kWalk = "Check {} cells by hand";
inline constexpr const char* kWhereToLook = "What stands out";
inline constexpr const char* kStandsOut[] = {"{} thing stands out", "{} things stand out"};
inline constexpr const char* kNote = "Note: {}";
inline constexpr const char* kPhotoGone =
    "The photo {} is not where it was when it was counted, so it is not shown.";
inline constexpr const char* kPhotoChanged =
    "{} is no longer the photo that was counted, so it is not shown.";
inline constexpr const char* kPhotoUnread = "The photo {} could not be read again, so it is not shown.";
inline constexpr const char* kPhotoLeftOut = "Photos were left out of this page.";

// Photos that could not be counted
inline constexpr const char* kUncounted = "Not counted";
inline constexpr const char* kPhotosUncounted[] = {"{} photo not counted", "{} photos not counted"};
inline constexpr const char* kCornersHow =
    "If you can make out the cells: tap the middles of the four corner cells, first that where row 1 begins. "
    "A tap beside one of four moves it.";
inline constexpr const char* kCornersAloud =
    "The photo. Arrow keys move a cross, with Shift in small steps; Enter sets a corner cell.";
inline constexpr const char* kCornersTray = "Rows x columns, or the tray's name";
inline constexpr const char* kCornersStaggered = "every second row is shifted by half a cell";
inline constexpr const char* kCornersAgain = "Start again";

// In front of the numbers of a map's and a photo's rows and columns
inline constexpr const char* kRow = "row";
inline constexpr const char* kColumn = "column";
inline constexpr const char* kFirstOnMap = ", and on the map the one where rows and columns start";

// How a cell is said: "row 3 column 7, two seedlings, look again"
inline constexpr const char* kCell = "row {} column {}, {}";
inline constexpr const char* kCellLook = "look again";
inline constexpr const char* kCellHand = "checked by hand";
inline constexpr const char* kInCell[] = {
    "empty",          "one seedling",     "two seedlings",   "three seedlings", "four seedlings",
    "five seedlings", "six seedlings",    "seven seedlings", "eight seedlings", "nine seedlings",
    "ten seedlings",  "eleven seedlings", "twelve seedlings"};
inline constexpr const char* kManyInCell = "{} seedlings";

// Plots
inline constexpr const char* kSpread = "Seedlings in a cell";
inline constexpr const char* kSpreadCounted = "counted";
inline constexpr const char* kSpreadChance = "if seeds fail one by one";
inline constexpr const char* kSpreadAloud = "Cells by their number of seedlings: {}";
inline constexpr const char* kSpreadOne = "{} with {}";
inline constexpr const char* kSpreadByChance = " (by chance {:.0f})";
inline constexpr const char* kCourse = "Over time";
inline constexpr const char* kCourseUp = "seedlings up";
inline constexpr const char* kCourseFit = "the likeliest course";
inline constexpr const char* kCourseEnd = "in the end";
inline constexpr const char* kCourseDays = "days after sowing";
inline constexpr const char* kCourseAloud = "Seedlings up: {}.{}";
inline constexpr const char* kCourseEndAloud = " In the end about {:.0f}, 95 % interval {:.0f} to {:.0f}.";
inline constexpr const char* kCourseOne = "{:.0f} on day {:.1f}";
inline constexpr const char* kTrend = "From sowing to sowing";
inline constexpr const char* kTrendAloud = "Germination by sowing: {}";
inline constexpr const char* kTrendWords =
    "{:+.0f} points ({:+.0f} to {:+.0f}), the latest sowing against the earlier ones.";

// Tables
inline constexpr const char* kWhatToDo = "What to do";
inline constexpr const char* kChoice = "choice";
inline constexpr const char* kFullCells = "full in the end";
inline constexpr const char* kPlants = "plants";
inline constexpr const char* kSeeds = "seeds";
inline constexpr const char* kMinutes = "min";
inline constexpr const char* kChance = "chance of {}, %";
inline constexpr const char* kForAllSown =
    "What to do, and what to sow next, is said for all {} trays sown that day.";
inline constexpr const char* kWantedFrom = "Wanted: {}.";
inline constexpr const char* kRankByCost =
    "braird advise ranks these by cost: tell it your bed (--bed, --rows, --spacing) and the lot of kept "
    "trays (--lot), or else give it counts (braird count --json PHOTO > counts.jsonl, then braird advise "
    "counts.jsonl).";
inline constexpr const char* kNextBatch = "What to sow next";
inline constexpr const char* kNextAmong = "Cells in a hundred, by the seeds sown in each:";
inline constexpr const char* kEmptyShare = "empty, %";
inline constexpr const char* kBelow = "below, %";
inline constexpr const char* kWithin = "{}, %";
inline constexpr const char* kAbove = "above, %";
inline constexpr const char* kCost = "{} a cell";
inline constexpr const char* kRecommended = "recommended";
inline constexpr const char* kLots = "Lots";
inline constexpr const char* kCrop = "Crop";
inline constexpr const char* kSowings = "Sowings";
inline constexpr const char* kSownOn = "Sown on";
inline constexpr const char* kTrayKind = "Tray";
inline constexpr const char* kTraysCounted = "Trays";
inline constexpr const char* kSeedsSown = "Seeds";
inline constexpr const char* kAge = "Day";
inline constexpr const char* kHalfUp = "Half up, day";
inline constexpr const char* kTrendShort = "Trend, points";
inline constexpr const char* kSuspicious = "suspicious";
inline constexpr const char* kDecided = "Decided";
inline constexpr const char* kToTop = "Back to the lots";

// Foot
inline constexpr const char* kCare = "Care";
inline constexpr const char* kHow =
    "Rates use the count shown for each cell, or yours where you checked it. The bar is where the true rate "
    "most likely lies (95 %), with room for miscounts. The colours are those of Okabe and Ito (2008), which "
    "people with any common colour blindness tell apart; the shapes say the same.";

/// What the page's own program says, by the names that page.js uses.
inline constexpr std::pair<const char*, const char*> kScript[] = {
    {"cell", "row {} column {}, {}"},
    {"look", kCellLook},
    {"hand", kCellHand},
    {"changed", "set by you"},
    {"many", kManyInCell},
    {"title", "Row {}, column {}"},
    {"counted", "braird counted: {}"},
    {"checked", "counted by hand before: {}"},
    {"more", "Another number"},
    {"reset", "Undo"},
    {"close", "Close"},
    {"previous", "Previous cell"},
    {"next", "Next cell"},
    {"crop", "The cell, enlarged"},
    {"noCrop", "No photo to enlarge"},
    {"walk", "Check: {} of {}"},
    {"walkWhy",
     "Sixteen cells drawn at random tell how often braird miscounts; the others are those it doubts most. "
     "Set each one, also where the count was right."},
    {"save", "Save {} corrections"},
    {"saveOne", "Save 1 correction"},
    {"saved", "Saved as {}. Then: braird check --counts {}, and make the report again."},
    {"unsaved", "Rates change with the next report."},
    {"file", "braird-corrections"},
    {"editor", "Correct a cell"},
    {"cornersLeft", "Corner cells still to tap: {}."},
    {"cornersTray", "Now tell the tray's rows and columns."},
    {"cornersDone", "Run this, with whatever else you told of the tray, where the photo lies:"},
};

}  // namespace braird::report::words
