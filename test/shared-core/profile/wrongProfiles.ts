/** Profiles with the wrong place between « and », and what is said of it: one problem, there and nowhere else. */
export const WRONG_PROFILES: Readonly<Record<string, readonly (readonly [marked: string, words: RegExp])[]>> = {
  'texts that are no profile': [
    ['{ "format": 1, "title": "a" «"module"»: 1 }', /is no JSON from here on/],
    ['«[1]»', /A JSON object is wanted here/],
  ],
  'the top': [
    ['«{» }', /"format": 1 is missing/],
    ['{ "format": «2» }', /"format" is 1/],
    ['{ "format": 1, «"lockd"»: [] }', /"locked" is probably meant/],
    ['{ "format": 1, «"wheels"»: 4 }', /Unknown key "wheels"\./],
    ['{ "format": 1, "module": 1, «"module"»: 2 }', /"module" is given twice/],
    ['{ "format": 1, "module": «70000» }', /from 0 to 65535/],
    ['{ "format": 1, "module": «"0x6G"» }', /from 0 to 65535/],
    ['{ "format": 1, "title": «4» }', /A text in quotes/],
    ['{ "format": 1, "options": «{}» }', /A list/],
    ['{ "format": 1, "locked": «{ "line": 1, "byte": 1 }» }', /A list/],
    ['{ "format": 1, "locked": [], «"locked"»: [{ "line": 1, "byte": 1 }] }', /"locked" is given twice/],
    ['{ "format": 1, "$schema": «1» }', /A text in quotes/],
    ['{ "format": «1.5» }', /"format" is 1/],
    ['{ "format": 1, "note": «1» }', /A note is a text, or a list of texts/],
    ['{ "format": 1, "appliesTo": «{» "note": "any" } }', /"part" or "software" is wanted/],
    ['{ "format": 1, "appliesTo": { "part": «[]» } }', /list is empty/],
    ['{ "format": 1, "appliesTo": { "part": «"RB-*"» } }', /A list/],
    ['{ "format": 1, "appliesTo": { "part": ["RB-*", «" "»] } }', /pattern is empty/],
    ['{ "format": 1, "appliesTo": { "part": ["RB-*"], «"sofware"»: ["03"] } }', /"software" is probably meant/],
  ],
  samples: [
    ['{ "format": 1, "samples": «{}» }', /A list/],
    ['{ "format": 1, "samples": [«{» "expect": {} }] }', /"dump" is wanted here/],
    ['{ "format": 1, "samples": [{ "dump": «" "» }] }', /path is empty/],
    ['{ "format": 1, "samples": [{ "dump": "a", «"expects"»: {} }] }', /"expect" is probably meant/],
    ['{ "format": 1, "samples": [{ "dump": "a", "expect": «[]» }] }', /An object/],
    ['{ "format": 1, "samples": [{ "dump": "a", "expect": { «"fog"»: "on" } }] }', /There is no option "fog"/],
    [
      '{ "format": 1, "options": [{ "id": "fog", "line": 1, "byte": 1, "number": {} }], "samples": [{ "dump": "a", "expect": { "fog": «1» } }] }',
      /A text in quotes/,
    ],
  ],
  'the same thing many times': [
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": {}, "repeat": «{» "count": 2 } }] }',
      /"count" and "step" are wanted here/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": {}, "repeat": { "count": «1», "step": 1 } }] }',
      /from 2 to 1000/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bytes": "1-2", "number": {}, "repeat": { "count": 2, "step": «1» } }] }',
      /hold the same bits/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 1, "data": 6 }, "options": [{ "id": "a", "line": 1, "bytes": "1-2", "number": {}, "repeat": { "count": «4», "step": 2 } }] }',
      /Only 3 of these fit: number 4 is off the end/,
    ],
    [
      '{ "format": 1, "addresses": { "from": 0, "to": 9 }, "options": [{ "id": "a", "address": 4, "number": {}, "repeat": { "count": «4», "step": 2 } }] }',
      /Only 3 of these fit/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": {}, "repeat": { "count": 2, "step": 1, "names": «["left"]» } }] }',
      /1 names for 2/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": {}, "repeat": { "count": 2, "step": 1, "names": ["left", «"left"»] } }] }',
      /given twice/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": {}, "repeat": { "count": 2, "step": 1 } }, { "id": "b", "line": 2, "byte": 1, "number": {}, "needs": [«{ "option": "a", "in": [1] }»] }] }',
      /^"a" is there 2 times: name one of them, "a\.1" to "a\.2"\.$/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": {}, "repeat": { "count": 2, "step": 1 } }, { "id": "b", "line": 2, "byte": 1, "number": {}, "needs": [«{ "option": "a.3", "in": [1] }»] }] }',
      /^"a" is there 2 times, from "a\.1" to "a\.2": there is no "a\.3"\.$/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": { "0": "no" }, "repeat": { "count": 2, "step": 1, "axis": «{ "at": [1, 2] }» } }] }',
      /Only numbers are in a table/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": {}, "repeat": { "count": 2, "step": 1, "axis": «{» "unit": "rpm" } } }] }',
      /"at" is missing/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": {}, "repeat": { "count": 3, "step": 1, "axis": { "at": «[1, 2]» } } }] }',
      /2 values for 3/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": {}, "repeat": { "count": 3, "step": 1, "axis": { "at": [1, 3, «2»] } } }] }',
      /rise or fall all the way/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": {}, "repeat": { "count": 2, "step": 1, "names": ["a", "b"], «"axis"»: { "at": [1, 2] } } }] }',
      /"names" and "axis" do not go together/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": {}, "repeat": { "count": 2, "step": 1 } }, «{ "id": "a.2", "line": 2, "byte": 1, "number": {} }»] }',
      /Two options are called "a\.2"/,
    ],
  ],
  'values as modules keep them': [
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bytes": "1-2", "number": { "coding": «"gray"» } }] }',
      /One of "binary", "bcd"/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "bits": "2-0", "number": { "coding": «"bcd"» } }] }',
      /takes 4 bits for each, up to 15 digits; here are 3 bits/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bytes": "1-8", "number": { "coding": «"bcd"» } }] }',
      /here are 64 bits\. For more digits give "text": "bcd"/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": { "coding": "bcd", "signed": «true» } }] }',
      /Decimal digits have no sign/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bytes": "1-3", "date": «"DDMMJJ"», "coding": "bcd" }] }',
      /A date is written with the parts/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bytes": "1-3", "date": «"DDMMMM"», "coding": "bcd" }] }',
      /A date is written with the parts/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bytes": "1-2", "date": «"DDMM"», "coding": "bcd" }] }',
      /A date is written with the parts/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bytes": "1-4", "date": «"DDMMYY"», "coding": "bcd" }] }',
      /"DDMMYY" takes 24 bits; the place has 32/,
    ],
    [
      '{ "format": 1, "options": [«{» "id": "a", "line": 1, "bytes": "1-3", "date": "DDMMYY" }] }',
      /"coding" is missing/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bytes": "1-3", "date": "DDMMYY", "coding": «"BCD"» }] }',
      /"bcd" is probably meant/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bytes": "1-2", "date": «{» "days": 1 } }] }',
      /A count of days or seconds is written/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bytes": "1-2", "date": «{» "since": "2000-01-01" } }] }',
      /A count of days or seconds is written/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bytes": "1-2", "date": { "days": «0», "since": "2000-01-01" } }] }',
      /from 1 to 1000000/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bytes": "1-2", "date": { "days": 1, "since": «"2001-02-29"» } }] }',
      /This is no day: write one that exists/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bytes": "1-2", "date": { "days": 1, «"seconds"»: 1, "since": "2000-01-01" } }] }',
      /do not go together/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": {}, "special": { «"0x100"»: "not set" } }] }',
      /no value that these bits can hold \(0 to 255\)/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": {}, "special": { "255": "not set", «"0xFF"»: "off" } }] }',
      /given twice/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": {}, "special": { "255": «"12 km"» } }] }',
      /could be taken for a number/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": {}, "special": «{» } }] }',
      /This is empty/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": { "0": "no" }, «"special"»: { "255": "not set" } }] }',
      /"values" and "special" do not go together/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": {}, «"pad"»: 0 }] }',
      /"number" and "pad" do not go together/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": {}, «"coding"»: "bcd" }] }',
      /"number" and "coding" do not go together/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bytes": "1-3", "text": «"utf-16le"» }] }',
      /two bytes for each character/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "text": "ascii", "pad": «256» }] }',
      /from 0 to 255/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "text": "bcd", "pad": «"0x00"» }] }',
      /What fills decimal digits is no digit/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "bits": «"7-4"», "swapped": "nibbles", "number": {} }] }',
      /"swapped" takes whole bytes/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "reversed": «"bytes"», "number": {} }] }',
      /One of "bits"/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bits": «[]», "number": {} }] }',
      /This list is empty: name the parts/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bits": [{ "byte": 1, "bits": "3-0" }, «{ "byte": 1, "bits": "0" }»], "number": {} }] }',
      /belong to a part before/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, «"byte"»: 1, "bits": [{ "byte": 1 }], "number": {} }] }',
      /"byte" does not go with bits that lie apart/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bits": [{ "line": «2», "byte": 1 }], "number": {} }] }',
      /leave "line" of the option out/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "bits": [«{» "byte": 1 }], "number": {} }] }',
      /"line" and "byte" \(or "address"\) are wanted here/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bits": [{ "byte": 1, «"bit"»: 1 }], "number": {} }] }',
      /"bits" is probably meant/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bits": [{ "byte": 1 }, { "byte": 3 }], "number": {} }, «{ "id": "b", "line": 1, "byte": 3, "bits": "0", "values": {} }»] }',
      /"b" and "a" hold the same bits/,
    ],
  ],
  'the geometry': [
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "addresses": «{ "from": 0, "to": 9 }» }',
      /not both/,
    ],
    ['{ "format": 1, "lines": { "from": 5, "to": «4», "data": 6 } }', /"to" is lower than "from"/],
    ['{ "format": 1, "lines": «{» "from": 1, "to": 4 } }', /"data" is missing/],
    ['{ "format": 1, "lines": { "from": 1, "to": 2, "data": «{ "1": 6 }» } }', /count for line 2 is missing/],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": { "1": 6, "2": 6, «"3"»: 6 } } }',
      /none of the lines 1 to 2/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": { "1": 6, "2": 6, «"0x2"»: 7 } } }',
      /"0x2" is given twice/,
    ],
    ['{ "format": 1, "absent": «[]» }', /goes with "addresses"/],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "absent": «[{ "from": 1, "to": 2 }]» }',
      /goes with "addresses"/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "absent": «[{ "from": 4096, "to": 4099 }, { "address": 4100, "length": 252 }]» }',
      /allows every address to be missing/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "absent": [{ "from": «"0x1100"», "to": "0x1101" }] }',
      /from 0x1000 to 0x10FF/,
    ],
    ['{ "format": 1, "addresses": { "from": 0, "to": «"0x1FFFFFFFF"» } }', /from 0 to 4294967295/],
    [
      '{ "format": 1, "notation": «"intel-hex"», "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 } }',
      /A memory image has no lines with numbers/,
    ],
    ['{ "format": 1, "notation": «"intelhex"» }', /"intel-hex" is probably meant/],
  ],
  'more of the geometry': [
    ['{ "format": 1, "lines": «{» "to": 1, "data": 1 } }', /"from" and "to" are both wanted/],
    ['{ "format": 1, "lines": { "from": 1, "to": 2, "data": 1, "sum": «9» } }', /from 0 to 8/],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "absent": [{ "from": "0x1010", "to": "0x101F" }], "balance": [«{ "from": "0x101F", "to": "0x1020" }»] }',
      /allows addresses 1010–101F to be missing/,
    ],
    ['{ "format": 1, "lines": { "from": 1, "to": 2, "step": «0», "data": 1 } }', /from 1 to 65535/],
    ['{ "format": 1, "lines": { "from": 1, "to": «"0x1000000000"», "data": 1 } }', /A line is written as its number/],
    ['{ "format": 1, "lines": «{» "from": 1, "data": 1 } }', /"from" and "to" are both wanted/],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "absent": [{ "from": "0x1010", "to": "0x101F" }], "options": [«{ "id": "a", "address": "0x101F", "length": 2, "number": {} }»] }',
      /allows addresses 1010–101F to be missing/,
    ],
    ['{ "format": 1, "module": «1.5» }', /from 0 to 65535/],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, «"smu"»: 1 } }',
      /Unknown key "smu"; "sum" is probably meant/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "absent": [{ "from": "0x1010", "to": "0x101F" }], "volatile": [«{ "from": "0x101E", "to": "0x1020" }»] }',
      /allows addresses 1010–101F to be missing/,
    ],
    ['{ "format": 1, "addresses": { "from": 0, "to": 9, «"tto"»: 3 } }', /Unknown key "tto"; "to" is probably meant/],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 5, "step": «3», "data": 1 } }',
      /Lines from 1 in steps of 3 do not come to 5/,
    ],
    [
      '{ "format": 1, "lines": { "from": 3, "to": 9, "step": 3, "data": { "3": 1, "6": 1, "9": 1, «"5"»: 1 } } }',
      /"5" is none of the lines 3 to 9/,
    ],
    [
      '{ "format": 1, "lines": { "from": 3, "to": 4, "data": { "3": 1, "4": 1, «"2"»: 1 } } }',
      /"2" is none of the lines 3 to 4/,
    ],
    [
      '{ "format": 1, "lines": { "from": 3, "to": 4, "data": { "3": 1, "4": 1, «"1-3"»: 1 } } }',
      /"1-3" is none of the lines 3 to 4/,
    ],
    ['{ "format": 1, "lines": { "from": «-1», "to": 4, "data": 1 } }', /A line is written as its number/],
    ['{ "format": 1, "lines": «{ "from": 1, "to": 1000001, "data": 1 }» }', /No dump has more than 1000000 lines/],
    [
      '{ "format": 1, "lines": «[{ "from": 1, "to": 500000, "data": 1 }, { "from": 500001, "to": 1000001, "data": 1 }]» }',
      /No dump has more than 1000000 lines/,
    ],
    [
      '{ "format": 1, "notation": { "pattern": "{label}: {data}", «"heading"»: [] } }',
      /Unknown key "heading"; "headings" is probably meant/,
    ],
    [
      '{ "format": 1, "notation": { "pattern": "{label}: {data}", "otherwise": «"kept"» } }',
      /One of "keep", "report" is wanted here/,
    ],
    [
      '{ "format": 1, "notation": { "pattern": "{label}: {data}", "headings": [«"{skip}"»] } }',
      /A heading is a line of text/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 4, "data": 6, "sum": 1, "step": «2» } }',
      /Lines from 1 in steps of 2 do not come to 4/,
    ],
    [
      '{ "format": 1, "lines": «{» "from": 1, "to": 4 }, "lineSum": { "method": "add" }, "totals": [{ "method": "add", "lines": "1-9" }] }',
      /"data" is missing/,
    ],
    [
      '{ "format": 1, "addresses": { "from": 5, "to": «4» }, "totals": [{ "method": "add", "address": 9, "over": [{ "from": 0, "to": 3 }] }] }',
      /"to" is lower than "from"/,
    ],
  ],
  'lines with labels of several numbers': [
    [
      '{ "format": 1, "notation": { "pattern": «"{label}/{label}: {data}"» }, "lines": { "from": 1, "to": 5, "data": 5 } }',
      /Labels by this pattern have 2 numbers, those of "lines" have 1/,
    ],
    [
      '{ "format": 1, "notation": { "pattern": «"{label:hex}: {data}"» }, "lines": { "from": "1-1", "to": "1-5", "data": 5 } }',
      /Labels by this pattern have 1 numbers, those of "lines" have 2/,
    ],
    ['{ "format": 1, "lines": «[]» }', /list is empty: name at least one stretch/],
    ['{ "format": 1, "lines": [«1»] }', /An object/],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-2", "data": 3 }, { "from": «"1-2"», "to": "1-4", "data": 3 }] }',
      /Line 1-2 is in another stretch as well/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "2-1", "to": "2-3", "data": 3 }, { "from": "1-9", "to": "1-9", "data": 3 }, { "from": «"1-9"», "to": "1-9", "data": 3 }] }',
      /Line 1-9 is in another stretch as well/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": 4, "to": 6, "data": 3 }, { "from": «1», "to": 4, "data": 3 }] }',
      /Line 4 is in another stretch as well/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-2", "data": 3 }, { "from": «"2-1-1"», "to": "2-1-4", "data": 3 }] }',
      /others have 2, and "2-1-1" has 3/,
    ],
    ['{ "format": 1, "lines": [{ "from": "1-1", "to": «"1-2-3"», "data": 3 }] }', /others have 2, and "1-2-3" has 3/],
    [
      '{ "format": 1, "lines": { "from": "1-1", "to": «"2-4"», "data": 3 } }',
      /Only the last number of a label counts up/,
    ],
    ['{ "format": 1, "lines": { "from": "1-4", "to": «"1-3"», "data": 3 } }', /"to" is lower than "from"/],
    [
      '{ "format": 1, "lines": { "from": «"3-0A"», "to": "3-12", "data": 3 } }',
      /up to four numbers joined by "-": "3-10"/,
    ],
    [
      '{ "format": 1, "lines": { "from": "3-1", "to": "3-2", "data": { "3-1": 2, "3-2": 2, «"4-1"»: 2 } } }',
      /"4-1" is none of the lines 3-1 to 3-2/,
    ],
    [
      '{ "format": 1, "lines": { "from": "3-1", "to": "3-2", "data": { "3-1": 2, "3-2": 2, «"3.0x2"»: 2 } } }',
      /"3\.0x2" is given twice/,
    ],
    [
      '{ "format": 1, "lines": { "from": "3-1", "to": "3-2", "data": «{ "3-1": 2 }» } }',
      /count for line 3-2 is missing/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-5", "data": 5, "sum": 1 }, { "from": "2-1", "to": "2-4", "data": 3, "sum": 1 }], "locked": [{ "line": «"1-6"», "byte": 1 }] }',
      /no line 1-6: lines go from 1-1 to 2-4/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-5", "data": 5, "sum": 1 }, { "from": "2-1", "to": "2-4", "data": 3, "sum": 1 }], "locked": [{ "line": «2», "byte": 1 }] }',
      /no line 2: lines go from 1-1 to 2-4/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-5", "data": 5, "sum": 1 }, { "from": "2-1", "to": "2-4", "data": 3, "sum": 1 }], "locked": [{ "line": «"2-1-1"», "byte": 1 }] }',
      /no line 2-1-1/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-5", "data": 5, "sum": 1 }, { "from": "2-1", "to": "2-4", "data": 3, "sum": 1 }], "balance": [{ "line": "2-1", "byte": «4» }] }',
      /Line 2-1 has 3 data bytes; there is no byte 4/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-5", "data": 5, "sum": 1 }, { "from": "2-1", "to": "2-4", "data": 3, "sum": 1 }], "options": [{ "id": "a", "line": «"RE-01"», "byte": 1, "values": {} }] }',
      /up to four numbers joined by "-"/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-5", "data": 5, "sum": 1 }, { "from": "2-1", "to": "2-4", "data": 3, "sum": 1 }], "lineSum": { "method": "add", "over": ["label.1", «"label.3"», "data"] } }',
      /labels of these lines have 2 numbers, so there is no "label\.3"/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-5", "data": 5, "sum": 1 }, { "from": "2-1", "to": "2-4", "data": 3, "sum": 1 }], "lineSum": { "method": "add", "over": ["label", «"label.2"», "data"] } }',
      /"label" is all numbers of a label/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-5", "data": 5, "sum": 1 }, { "from": "2-1", "to": "2-4", "data": 3, "sum": 1 }], "lineSum": { "method": "add", "over": ["label.2", «"label.2"», "data"] } }',
      /"label\.2" is given twice/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-5", "data": 5, "sum": 1 }, { "from": "2-1", "to": "2-4", "data": 3, "sum": 1 }], "lineSum": { "method": "add", "bits": «16» } }',
      /This sum has 2 bytes; "lines" gives 1/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-5", "data": 5, "sum": 1 }, { "from": "2-1", "to": "2-4", "data": 3, "sum": 1 }], "lineSum": { "method": "add", "over": ["data"], "labelBytes": «2» } }',
      /"labelBytes" has no effect here/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 5, "data": 5, "sum": 1 }, "lineSum": { "method": "add", "over": [«"label.2"», "data"] } }',
      /labels of these lines have 1 numbers, so there is no "label\.2"/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-5", "data": 5, "sum": 1 }, { "from": "2-1", "to": "2-4", "data": 3, "sum": 1 }], "totals": [{ "method": "add", "lines": «"1-1-2-4"» }] }',
      /Lines are written "3-1\.\.4-2"/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-5", "data": 5, "sum": 1 }, { "from": "2-1", "to": "2-4", "data": 3, "sum": 1 }], "totals": [{ "method": "add", "lines": «"2-1..1-1"» }] }',
      /Lines are written "3-1\.\.4-2"/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-5", "data": 5, "sum": 1 }, { "from": "2-1", "to": "2-4", "data": 3, "sum": 1 }], "totals": [{ "method": "add", "lines": «"1-1..2-5"» }] }',
      /Lines go from 1-1 to 2-4 only/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-5", "data": 5, "sum": 1 }, { "from": "2-1", "to": "2-4", "data": 3, "sum": 1 }], "totals": [{ "method": "add", "lines": «"1-1..1-6"» }] }',
      /There is no line 1-6: lines go from 1-1 to 2-4/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-5", "data": 5, "sum": 1 }, { "from": "2-1", "to": "2-4", "data": 3, "sum": 1 }], "totals": [{ "method": "add", "label": «"2-4"» }] }',
      /Line 2-4 holds data/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-5", "data": 5, "sum": 1 }, { "from": "2-1", "to": "2-4", "data": 3, "sum": 1 }], "totals": [{ "method": "add", "line": "2-4", "byte": 1, "lines": "1-1" }, «{ "name": "b", "method": "add", "line": "2.4", "byte": 1, "lines": "2-4" }»] }',
      /stored in the same place/,
    ],
    [
      '{ "format": 1, "lines": [{ "from": "1-1", "to": "1-5", "data": 5, "sum": 1 }, { "from": "2-1", "to": "2-4", "data": 3, "sum": 1 }], "locked": [{ "line": "2-4", "byte": 1 }], "totals": [«{ "method": "add", "bits": 16, "line": "2-4", "byte": 1 }»] }',
      /some are locked and some are not/,
    ],
  ],
  places: [
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "locked": [{ "line": «3», "byte": 1 }] }',
      /no line 3/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "locked": [{ "line": 1, "bytes": «"5-7"» }] }',
      /no byte 7/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "locked": [{ "line": 1, "bytes": «"3-1"» }] }',
      /"3" or "3-4"/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "locked": [{ "line": 1, "byte": 1, «"bytes"»: "2-3" }] }',
      /"byte" and "bytes" do not go together/,
    ],
    ['{ "format": 1, "locked": [«{» "line": 1 }] }', /"byte" or "bytes" is wanted here: how long/],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "options": [«{» "id": "a", "line": 1, "values": {} }] }',
      /"byte" or "bytes" is wanted/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "locked": [{ "address": 4096, "bytes": 2, «"length"»: 2 }] }',
      /"bytes" and "length" do not go together/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "locked": [{ "address": 4096, «"byte"»: 2 }] }',
      /"address" and "byte" do not go together/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "locked": [{ "address": 4096, «"to"»: 4100 }] }',
      /"address" and "to" do not go together/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "locked": [{ "from": 4096, "to": 4100, «"length"»: 5 }] }',
      /"from" and "length" do not go together/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "locked": [«{» "from": 4096 }] }',
      /"from" and "to" are both wanted/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "locked": [«{» "to": 4096 }] }',
      /"from" and "to" are both wanted/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "locked": [{ "from": 4100, "to": «4096» }] }',
      /"to" is lower than "from"/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "locked": [{ "from": «0», "to": 4 }] }',
      /in lines: give "line" and "byte" in place of "from"/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "locked": [{ "line": 1, «"length"»: 2 }] }',
      /"line" and "length" do not go together/,
    ],
    ['{ "format": 1, "locked": [{ "address": «"0xFFFFFFFF"», "length": 2 }] }', /this is outside/],
    ['{ "format": 1, "locked": [{ "from": 0, "to": «"0xFFFFFFFF"» }] }', /at most 1048576/],
    ['{ "format": 1, "locked": [«{» "byte": 1 }] }', /"line" and "byte" \(or "address"\) are wanted/],
    [
      '{ "format": 1, "locked": [«{ "line": 1, "byte": 1 }»], "options": [{ "id": "a", "address": 1, "values": {} }] }',
      /some places of this profile|Some places of this profile/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {}, "hazard": ["security", "other"] }], "balance": [«{ "line": 1 }»] }',
      /concerns the security/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "absent": [{ "from": "0x1010", "to": "0x101F" }], "locked": [«{ "from": "0x1018", "to": "0x1020" }»] }',
      /allows addresses 1010–101F to be missing, but this place is partly among them/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "absent": [{ "from": "0x1010", "to": "0x101F" }], "totals": [«{ "method": "add", "bits": 32, "address": "0x100E" }»] }',
      /allows addresses 1010–101F to be missing, but this place is partly among them/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "locked": [{ "address": «16» }] }',
      /in lines/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "locked": [{ "line": «1», "byte": 1 }] }',
      /memory image/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "locked": [{ "address": «"0x10FF"», "bytes": 2 }] }',
      /from 0x1000 to 0x10FF/,
    ],
    ['{ "format": 1, "locked": [{ "line": 1, "byte": 1 }], "balance": [«{ "line": 1, "byte": 1 }»] }', /is locked/],
    [
      '{ "format": 1, "volatile": [{ "line": 1, "byte": 1 }], "balance": [«{ "line": 1, "byte": 1 }»] }',
      /would not last/,
    ],
    [
      '{ "format": 1, "totals": [{ "method": "add", "line": 1, "byte": 1 }], "balance": [«{ "line": 1, "byte": 1 }»] }',
      /holds a sum/,
    ],
  ],
  sums: [
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "lineSum": { "method": "add", "bits": «16» } }',
      /2 bytes; "lines" gives 1/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "lineSum": { "method": «"adler"» } }',
      /4 bytes; "lines" gives 1/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6 }, "lineSum": { "method": «"add"» } }',
      /"sum" bytes to stand in/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "lineSum": { "method": "add", "over": [«"module"», "data"] } }',
      /number of the module/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "lineSum": { "method": "add", "over": «["label"]» } }',
      /over "data" at least/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "lineSum": { "method": "add", "over": ["data", «"data"»] } }',
      /"data" is given twice/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "lineSum": { "method": "add", "over": «[]» } }',
      /over "data" at least/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "lineSum": { "method": "add", "labelBytes": «2» } }',
      /"labelBytes" has no effect here/,
    ],
    ['{ "format": 1, "totals": [{ "method": "crc", "model": «"CRC-99/NONE-SUCH"» }] }', /Give "width", "poly"/],
    [
      '{ "format": 1, "totals": [{ "method": "crc", "width": 8, "poly": 7, "init": «9007199254740993» }] }',
      /at most 8 bits/,
    ],
    ['{ "format": 1, "totals": [{ "method": "add", «"scael"»: 1 }] }', /Unknown key "scael"/],
    ['{ "format": 1, "totals": [«{» }] }', /"method" is missing/],
    ['{ "format": 1, "totals": [{ "method": «"sum"» }] }', /"add"/],
    ['{ "format": 1, "totals": [{ "method": "add", "bits": «12» }] }', /One of 8, 16, 24, 32/],
    ['{ "format": 1, "totals": [{ "method": "fletcher", "bits": «8» }] }', /One of 16, 32/],
    ['{ "format": 1, "totals": [{ "method": "add", "start": «"0x100"» }] }', /at most 8 bits/],
    ['{ "format": 1, "totals": [{ "method": "xor", «"complement"»: "twos" }] }', /says nothing about a sum by "xor"/],
    [
      '{ "format": 1, "totals": [{ "method": "crc", "model": «"CRC-16/IBM-374"» }] }',
      /"CRC-16\/IBM-3740" is probably meant/,
    ],
    ['{ "format": 1, "totals": [{ "method": "crc", "model": "CRC-8/SMBUS", «"width"»: 8 }] }', /do not go together/],
    ['{ "format": 1, "totals": [«{» "method": "crc", "width": 8 }] }', /needs "poly"/],
    ['{ "format": 1, "totals": [{ "method": "crc", "width": 8, "poly": «"0x107"» }] }', /at most 8 bits/],
  ],
  'more of line sums': [
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "lineSum": { "method": "add", "over": ["label", "data"], "labelBytes": «5» } }',
      /from 1 to 4/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "lineSum": { "method": "add", "over": «"data"» } }',
      /A list/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": { "1": 4, "2": 6 }, "sum": 1 }, "lineSum": { "method": "add", "data": «"1-5"» } }',
      /A line has 4 data bytes, too few for "1-5"/,
    ],
    ['{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "lineSum": «4» }', /An object/],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "lineSum": { "method": "add", «"ovr"»: ["data"] } }',
      /Unknown key "ovr"; "over" is probably meant/,
    ],
    [
      '{ "format": 1, "module": «70000», "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "lineSum": { "method": "add", "over": ["module", "data"] } }',
      /from 0 to 65535/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "lineSum": { "method": "add", "sumAt": «"middle"» } }',
      /One of "back", "front"/,
    ],
    ['{ "format": 1, "totals": [«{» "method": "crc", "poly": 7 }] }', /A sum by "crc" without "model" needs "width"/],
    [
      '{ "format": 1, "totals": [{ "method": "crc", "model": «"CRC-99/NONE-SUCH"», "order": "little" }] }',
      /Give "width", "poly", "init", "refin", "refout", "xorout" in place of "model"/,
    ],
    ['{ "format": 1, "totals": [{ "method": "crc", "width": 8, "poly": «-1» }] }', /at most 8 bits/],
    ['{ "format": 1, "totals": [{ "method": "crc", "width": 8, "poly": «"x7"» }] }', /at most 8 bits/],
    ['{ "format": 1, "totals": [{ "method": "crc", "width": 8, "poly": «256» }] }', /at most 8 bits/],
  ],
  'what totals run over': [
    [
      '{ "format": 1, "lines": { "from": 5, "to": 9, "data": 6 }, "totals": [{ "method": "add", "lines": «"4-6"» }] }',
      /Lines go from 5 to 9 only/,
    ],
    [
      '{ "format": 1, "totals": [«{ "method": "add", "lines": "1-2", "address": 9 }»] }',
      /Some places of this profile are in lines and some at addresses/,
    ],
    [
      '{ "format": 1, "totals": [«{ "method": "add", "line": 1, "byte": 1, "over": [{ "from": 0, "to": 4 }] }»] }',
      /Some places of this profile are in lines and some at addresses/,
    ],
    [
      '{ "format": 1, "totals": [{ "method": "add", "line": 1, "byte": 1, "pattern": «"end: {data}"» }] }',
      /"pattern" is for a total that has a line of its own/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "locked": [{ "line": 2, "byte": 1 }, { "line": 1, "byte": 1 }], "totals": [«{ "method": "add", "bits": 16, "line": 1, "byte": 1 }»] }',
      /some are locked and some are not/,
    ],
    [
      '{ "format": 1, "locked": [{ "address": 9 }], "totals": [«{ "method": "add", "bits": 16, "address": 8, "over": [{ "from": 0, "to": 7 }] }»] }',
      /some are locked and some are not/,
    ],
    [
      '{ "format": 1, "totals": [{ "method": "add", "address": 9, "over": [{ "from": 0, "to": «4294967296» }] }] }',
      /from 0 to 4294967295/,
    ],
    [
      '{ "format": 1, "totals": [{ "method": "add", "address": 9, "over": [{ "from": 0, "to": 4 }, «4»] }] }',
      /An object/,
    ],
    [
      '{ "format": 1, "totals": [{ "method": "add", "label": "a", «"address"»: 9 }] }',
      /"label" and "address" do not go together/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "totals": [{ "method": "add", "address": 4096, "over": [«{ "from": 4096, "to": 5000 }»] }] }',
      /run off the image/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "totals": [{ "method": "add", "address": 4096, "lines": «"1-2"» }] }',
      /An image has no lines/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "totals": [{ "method": "add", "lines": «"2-1"» }] }',
      /Lines are written "1-18"\.$/,
    ],
    [
      '{ "format": 1, "totals": [{ "method": "add", "over": [{ "from": 1, "to": 2, «"too"»: 1 }], "address": 9 }] }',
      /Unknown key "too"/,
    ],
  ],
  'more of places': [
    ['{ "format": 1, "locked": [{ "from": 4, "to": «4294967296» }] }', /from 0 to 4294967295/],
    ['{ "format": 1, "locked": [«4»] }', /An object/],
    ['{ "format": 1, "volatile": [«4»] }', /An object/],
    ['{ "format": 1, "balance": [«4»] }', /An object/],
    ['{ "format": 1, "balance": [{ "line": 1, "byte": 1, «"why"»: "x" }] }', /Unknown key "why"/],
    ['{ "format": 1, "locked": [{ "line": 1, "byte": 1, «"wy"»: "x" }] }', /"why" is probably meant/],
    ['{ "format": 1, "locked": [{ "line": 1, "byte": «65536» }] }', /from 1 to 65535/],
    ['{ "format": 1, "locked": [{ "line": 1, "byte": «0» }] }', /from 1 to 65535/],
    ['{ "format": 1, "locked": [{ "address": «4294967296» }] }', /from 0 to 4294967295/],
    ['{ "format": 1, "locked": [{ "address": 16, "length": «0» }] }', /from 1 to 1048576/],
    ['{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "absent": [«4»] }', /An object/],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "absent": [{ "from": 4096, "to": 4097, «"why"»: "x" }] }',
      /Unknown key "why"/,
    ],
  ],
  'more of options': [
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {} }, { "id": "b", "line": 1, "byte": 2, "values": {} }, «{ "id": "c", "line": 1, "byte": 1, "values": {} }»] }',
      /hold the same bits/,
    ],
    ['{ "format": 1, "options": [«4»] }', /An object/],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {}, "needs": [{ "option": "b", "in": [1], «"inn"»: 1 }] }, { "id": "b", "line": 1, "byte": 2, "values": {} }] }',
      /Unknown key "inn"/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {}, «"tilte"»: "x" }] }',
      /"title" is probably meant/,
    ],
    ['{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": «4» }] }', /An object/],
    ['{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": { "scale": «0» } }] }', /A scale of 0/],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": { "scale": «"x"» } }] }',
      /A number is wanted here/,
    ],
    ['{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": { "signed": «1» } }] }', /true or false/],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": { "min": 5, "max": «4» } }] }',
      /"max" is lower than "min"/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bytes": "1-7", "values": «{}» }] }',
      /takes up to 48 bits; here are 56/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": { «"-1"»: "x" } }] }',
      /is no value that these bits can hold/,
    ],
  ],
  totals: [
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "totals": [{ "method": "add", "label": "total", «"line"»: 1, "byte": 1 }] }',
      /do not go together/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "totals": [{ "method": "add", "label": «2» }] }',
      /Line 2 holds data/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "totals": [{ "method": "add", "line": «7», "byte": 1 }] }',
      /no line 7/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "totals": [{ "method": "add", "bits": 16, "line": 2, "byte": «6» }] }',
      /no byte 7/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "totals": [«{» "method": "add" }] }',
      /give the "address"/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "totals": [{ "method": "add", "label": «"total"» }] }',
      /give the "address"/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "totals": [{ "method": "add", "address": «"0x2000"» }] }',
      /from 0x1000 to 0x10FF/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "totals": [{ "method": "add", "lines": «"1-3"» }] }',
      /from 1 to 2 only/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "totals": [{ "method": "add", "over": «["sums"]» }] }',
      /over "data", or over/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6 }, "totals": [{ "method": "add", "over": ["data", «"sums"»] }] }',
      /no sums/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "totals": [{ "method": "add", "over": [«{ "from": 0, "to": 1 }»] }] }',
      /not addresses/,
    ],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "totals": [{ "method": "add", "address": 4096, "over": [«{ "from": 0, "to": "0x1010" }»] }] }',
      /run off the image/,
    ],
    [
      '{ "format": 1, "totals": [{ "method": "add", "address": 0, "over": [{ "from": 1, "to": 9 }, «{ "from": 9, "to": 10 }»] }] }',
      /covered already/,
    ],
    [
      '{ "format": 1, "totals": [{ "method": "add", "address": 0, "over": [{ "from": 5, "to": 9 }, «{ "from": 1, "to": 5 }»] }] }',
      /covered already/,
    ],
    ['{ "format": 1, "totals": [{ "method": "add" }, «{ "method": "xor" }»] }', /stored in the same place/],
    [
      '{ "format": 1, "totals": [{ "method": "add", "label": 5 }, «{ "method": "xor", "line": 5, "byte": 1 }»] }',
      /stored in the same place/,
    ],
    [
      '{ "format": 1, "totals": [{ "method": "add", "bits": 16, "line": 5, "byte": 1 }, «{ "method": "xor", "line": 5, "byte": 2 }»] }',
      /stored in the same place/,
    ],
    ['{ "format": 1, "totals": [{ "method": "add", "label": «-1» }] }', /A label is a number or a word/],
    ['{ "format": 1, "totals": [{ "method": "add", "label": «" "» }] }', /A label is a number or a word/],
    ['{ "format": 1, "totals": [{ "method": "add", "over": «[]» }] }', /sum over nothing/],
    ['{ "format": 1, "totals": [{ "method": "add", "over": ["data", «"data"»] }] }', /"data" is given twice/],
    ['{ "format": 1, "totals": [{ "method": "add", "lines": «"1-9007199254740993"» }] }', /Lines are written/],
    [
      '{ "format": 1, "addresses": { "from": "0x1000", "to": "0x10FF" }, "totals": [«{ "method": "add", "bits": 16, "address": "0x1000", "over": [{ "from": "0x1000", "to": "0x1001" }] }»] }',
      /covers nothing/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 2 }, "totals": [«{ "method": "add", "bits": 16, "line": 1, "byte": 1, "lines": 1 }»] }',
      /covers nothing/,
    ],
    [
      '{ "format": 1, "lines": { "from": 1, "to": 2, "data": 6, "sum": 1 }, "locked": [{ "line": 1, "bytes": "1-3" }], "totals": [«{ "method": "add", "bits": 16, "line": 1, "byte": 3 }»] }',
      /some are locked and some are not/,
    ],
    [
      '{ "format": 1, "totals": [«{ "method": "add", "bits": 16, "label": 5 }»], "locked": [{ "line": 5, "byte": 2 }] }',
      /some are locked and some are not/,
    ],
  ],
  options: [
    ['{ "format": 1, "options": [«{» "line": 1, "byte": 1, "values": {} }] }', /needs an "id"/],
    ['{ "format": 1, "options": [{ "id": «"a b"», "line": 1, "byte": 1, "values": {} }] }', /needs an "id"/],
    ['{ "format": 1, "options": [{ "id": «5», "line": 1, "byte": 1, "values": {} }] }', /A text in quotes/],
    ['{ "format": 1, "options": [«{» "id": "a", "line": 1, "byte": 1 }] }', /needs one of "values"/],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bytes": "1-8", "number": «{}» }] }',
      /takes up to 48 bits; here are 64/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {}, «"text"»: "ascii" }] }',
      /needs one of "values"/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "bits": «"8-4"», "values": {} }] }',
      /"7-4" or "3"/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bytes": "1-2", "bits": «"7-4"», "values": {} }] }',
      /not with several/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "bits": "1-0", "values": { «"4"»: "x" } }] }',
      /0 to 3/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "bits": "1-0", "flags": { «"2"»: "x" } }] }',
      /0 to 1/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": { "1": "x", «"0x1"»: "y" } }] }',
      /twice/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "bits": «"7-4"», "text": "ascii" }] }',
      /takes whole bytes/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": { "offset": «9007199254740993» } }] }',
      /too large to be exact/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "address": 255, "length": 3, "number": {} }, «{ "id": "b", "address": 257, "values": {}, "hazard": ["security"] }»] }',
      /same bits/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "bits": «"3..2"», "values": {} }] }',
      /"7-4" or "3"/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": { «"scael"»: 2 } }] }',
      /"scale" is probably meant/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "bytes": "1-2", "order": «"littel"», "number": {} }] }',
      /"little" is probably meant/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {}, "hazard": «"Security"» }] }',
      /"security" is probably meant/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {}, "hazard": ["lighting", «"Security"»] }] }',
      /"security" is probably meant/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {}, "hazard": ["lighting", «"lighting"»] }] }',
      /"lighting" is given twice/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {}, "hazard": «[]» }] }',
      /list is empty/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": { "0": "on", "1": «" ON"» } }] }',
      /means two things/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "flags": { "0": "on", "1": «"on"» } }] }',
      /means two things/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": { "0": "none", "1": «"4"», "4": "two" } }] }',
      /"4" could be taken for the value 4, which means something else/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": { "0x02": "left", "1": «" 0x2"» } }] }',
      /could be taken for the value 2/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "flags": { "0": "left", "1": "right", "2": «"3"» } }] }',
      /"3" could be taken for the value 3/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "flags": { "0": «"left, right"», "1": "left" } }] }',
      /"left, right" holds a comma/,
    ],
    ['{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": { "0": «" "» } }] }', /words are empty/],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "number": { "min": 9, "max": «1» } }] }',
      /"max" is lower/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {}, "hazard": «"lightning"» }] }',
      /"lighting" is probably meant/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {} }, «{ "id": "b", "line": 1, "byte": 1, "bits": "3", "values": {} }»] }',
      /same bits/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {} }, «{ "id": "a", "line": 1, "byte": 2, "values": {} }»] }',
      /Two options/,
    ],
    [
      '{ "format": 1, "totals": [{ "name": "file sum", "method": "add", "bits": 16, "line": 1, "byte": 5 }], "options": [«{ "id": "a", "line": 1, "byte": 6, "values": {} }»] }',
      /where the sum "file sum" is stored/,
    ],
  ],
  conditions: [
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {}, "needs": [«{ "option": "a", "in": [1] }»] }] }',
      /condition of itself/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "socket", "line": 1, "byte": 1, "values": {}, "needs": [«{ "option": "fog", "in": [1] }»] }] }',
      /No option .* "fog"\./,
    ],
    [
      '{ "format": 1, "options": [{ "id": "socket", "line": 1, "byte": 1, "values": {} }, { "id": "b", "line": 1, "byte": 2, "values": {}, "excludes": [«{ "option": "sockt", "in": [1] }»] }] }',
      /"socket" is probably meant/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {} }, { "id": "b", "line": 1, "byte": 2, "values": {}, "needs": [«{» "option": "a" }] }] }',
      /"in" is missing/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "b", "line": 1, "byte": 2, "values": {}, "needs": [«{» "in": [1] }] }] }',
      /"option" is missing/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "b", "line": 1, "byte": 2, "values": {}, "needs": [{ "option": «1», "in": [1] }] }] }',
      /A text in quotes/,
    ],
    ['{ "format": 1, "options": [{ "id": "b", "line": 1, "byte": 2, "values": {}, "needs": [«1»] }] }', /An object/],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {} }, { "id": "b", "line": 1, "byte": 2, "values": {}, "needs": [{ "option": "a", "in": «[]» }] }] }',
      /name the values that are meant/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {} }, { "id": "b", "line": 1, "byte": 2, "values": {}, "needs": [{ "option": "a", "in": [1, «"0x1"»] }] }] }',
      /"1" is given twice/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {}, "needs": «{ "option": "b", "in": [1] }» }] }',
      /A list/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {}, "excludes": [{ "option": «"b c"», "in": [1], "profile": "x" }] }] }',
      /can be no id/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {}, "excludes": [{ "option": "b", "in": [1], "profile": «" "» }] }] }',
      /path is empty/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {}, "excludes": [{ "option": "b", "in": [1], «"option"»: "c", "profile": "x" }] }] }',
      /"option" is given twice/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "bits": "1-0", "values": {} }, { "id": "b", "line": 1, "byte": 2, "values": {}, "needs": [«{ "option": "a", "in": [4] }»] }] }',
      /values up to 0x03 only, not 0x04/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "values": {} }, { "id": "b", "line": 1, "byte": 2, "values": {}, "needs": [{ "option": "a", "in": [1] }], "excludes": [«{ "option": "a", "in": [1, 2] }»] }] }',
      /needs and excludes the same values/,
    ],
    [
      '{ "format": 1, "options": [{ "id": "a", "line": 1, "byte": 1, "bits": «"9"», "values": {} }, { "id": "b", "line": 1, "byte": 2, "values": {}, "needs": [{ "option": "a", "in": [1] }] }] }',
      /"7-4" or "3"/,
    ],
  ],
};
