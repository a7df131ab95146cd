# old_years.awk - makes old-years.csv, or with -v buffers=1 old-years-buffers.csv: an invented maker's spreadsheet of
# three years. Nobody made these bars and nobody read these numbers; they come from a curve and a seeded generator.
#   awk -f old_years.awk >old-years.csv;  awk -v buffers=1 -f old_years.awk >old-years-buffers.csv

function draw() { # 0 to below 1, the same everywhere: x' = 16807 x mod 2^31 - 1
    seed = (seed * 16807) % 2147483647
    return seed / 2147483647
}

function noise(scale,    sum, i) {
    for (i = 0; i < 6; i++)
        sum += draw()
    return (sum - 3) * scale
}

# Days since 1899-12-30, as spreadsheets count, to year, month and date.
function civil(serial,    z, e, n, m) {
    z = serial - 25569 + 719468; e = z % 146097
    n = int((e - int(e / 1460) + int(e / 36524) - int(e / 146096)) / 365)
    e -= 365 * n + int(n / 4) - int(n / 100); m = int((5 * e + 2) / 153)
    date = e - int((153 * m + 2) / 5) + 1
    month = m < 10 ? m + 3 : m - 9
    year = n + 400 * int(z / 146097) + (month <= 2)
}

# Each year was written in another way.
function spelled(serial) {
    civil(serial)
    if (year == 2023)
        return date "." month "." year % 100
    if (year == 2024)
        return date " " substr("JanFebMarAprMayJunJulAugSepOctNovDec", 3 * month - 2, 3) " " year
    return serial
}

function number(value, decimals,    text) {
    text = sprintf("%." decimals "f", value)
    sub(/\./, ",", text)
    return text
}

# A pH as the meter showed it, that stands in no other book.
function shown(ph,    text) {
    text = number(ph, 2)
    while (text ~ /^(9,94|10,63|10,55|9,54|9,47|11,31)$/)
        text = number(ph += 0.01, 2)
    return text
}

function line(text) { printf "%s\r\n", text }

BEGIN {
    seed = 20230107
    first = 44933 # Saturday, 2023-01-07
    weeks = 143
    split("1 2 3 4 6 8 10 12", ages, " ")
    split("plain|oat|lavender|salt|honey|charcoal", sorts, "|")
    for (week = 0; week < weeks && batches < 75; week++)
        if (week % 2 == 0 || week % 31 == 7)
            poured[++batches] = first + 7 * week
    if (buffers) {
        line("Buffers (invented);;;;;")
        line("day;time;Borax;lime water;degrees;remark")
        for (week = 10; week < 156; week++) # none in the first ten weeks
            line(spelled(first + 7 * week) ";9:30;" number(9.19 + noise(0.01), 2) ";" number(12.45 + noise(0.01), 2) \
                 ";" number(24.5, 1) ";")
        exit
    }
    printf "\357\273\277"
    line("Soap book 2023 to 2025 (invented: nobody made these bars);;;;;;;;;;;;;;;")
    line(";;;;;;;;;;;;;;;")
    line("Code;Soap;poured;Which bar;day;at;pH 1;pH 2;strip;degrees;percent;olive oil g;coconut oil g;NaOH g;water g;remark")
    for (week = 1; week < 156; week++) {
        today = first + 7 * week
        civil(today)
        if (last != "" && year != last) {
            line("Mean of " last ";;;;;;" number(total / count, 2) ";;;;;;;;;")
            line(year ";;;;;;;;;;;;;;;")
            total = count = 0
        }
        last = year
        for (b = 1; b <= batches; b++)
            for (a = 1; a <= 8; a++)
                if (poured[b] + 7 * ages[a] == today)
                    test(b, a)
    }
    line("Total rows;" rows ";;;;;;;;;;;;;;")
    line("printed for the shelf in the workshop;;;;;;;;;;;;;;;")
}

function test(b, a,    end, ph, one, two, strip, low, text) {
    end = 9.25 + (b * 37 % 11) / 25 + (b == 23 ? 1.9 : 0) # one was made with too much lye
    ph = end + (0.9 + (b % 5) / 20) * exp(-7 * ages[a] / 16)
    one = ph + noise(0.02); two = ph + noise(0.02)
    low = int(ph)
    strip = draw() < 0.3 ? "" : ph - low < 0.15 ? low : low "-" low + 1
    text = sprintf("S-%03d;", b)
    if (a == 1)
        text = text sorts[b % 6 + 1] ";" spelled(poured[b]) ";"
    else
        text = text ";;"
    text = text (a <= 4 ? "A" : "B") ";" spelled(first + (poured[b] - first) + 7 * ages[a]) ";" 10 + b % 3 ":" 10 + a * 5 ";"
    text = text shown(one) ";" (draw() < 0.15 ? "" : shown(two)) ";" strip ";"
    text = text (draw() < 0.03 ? "" : number(40 + noise(0.4), 1)) ";" number(1 + noise(0.006), 2) ";"
    if (a == 1)
        text = text 600 + b % 4 * 50 ";" 200 + b % 3 * 25 ";" number((600 + b % 4 * 50) * 0.128 + (200 + b % 3 * 25) * 0.171, 1) \
               ";" 260 ";"
    else
        text = text ";;;;"
    line(text (draw() < 0.05 ? "smells of " sorts[b % 6 + 1] : ""))
    total += one; count++; rows++
}
