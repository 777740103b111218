// Package content reads the chapters of a workbook into trees and figures.
package content
